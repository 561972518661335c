/* The form of the still's edit dialog: a view of its document that leaves alone what it does not show. */
(() => {
  window.middlecutEditor ??= {};
  const lib = window.middlecutEditor;
  if (lib.stillForm) return;
  const t = (...given) => lib.t(...given);
  const options = (...given) => lib.options(...given);
  const labelled = (...given) => lib.labelled(...given);
  const kindName = (kind) => lib.kindName(kind);

  const fractions = ['foreshots', 'heads', 'hearts', 'tails'];

  const number = (value) =>
    value === '' || value === undefined || Number.isNaN(Number(value)) ? undefined : Number(value);

  /** Writes a field, or takes it away where the form leaves it empty. */
  function put(target, field, value) {
    if (value === undefined || value === '') delete target[field];
    else target[field] = value;
  }

  const textInput = (value, css) =>
    $('<input type="text">')
      .addClass(css)
      .val(value ?? '');
  const numberInput = (value) => $('<input type="number" step="any" class="middlecut-number">').val(value ?? '');

  function pointRow(context, row, data, changed) {
    const name = textInput(data.id, 'middlecut-name');
    const kinds = context.facts.points.map((one) => [one.kind, kindName(one.kind)]);
    const kind = options($('<select class="middlecut-kind">'), kinds, data.doc.kind ?? 'vapour-temp');
    const step = numberInput(data.doc.resolution);
    const line = $('<div class="middlecut-line">').appendTo(row);
    labelled(line, t('form.name'), name);
    labelled(line, t('form.kind'), kind);
    labelled(line, t('form.step'), step);
    const of = options($('<select class="middlecut-short">'), [], '');
    const ofLabel = labelled(line, t('form.of'), of);
    const showOf = () => {
      const wants = { 'receiver-volume': 'receiver', 'drive-state': 'drive', 'heat-power': 'drive' }[kind.val()];
      ofLabel.toggle(wants !== undefined);
      if (wants === 'receiver') options(of, Object.keys(context.document().receivers ?? {}), data.doc.receiver, '–');
      if (wants === 'drive') options(of, Object.keys(context.document().drives ?? {}), data.doc.drive, '–');
      return wants;
    };
    showOf();
    kind.on('change', () => {
      if (name.val() === '' || kinds.some(([one]) => one === name.val())) name.val(kind.val());
      showOf();
    });
    row.on('change input', 'input, select', changed);
    data.read = () => {
      const doc = { ...data.doc, kind: kind.val() };
      put(doc, 'resolution', number(step.val()));
      delete doc.receiver;
      delete doc.drive;
      const wants = { 'receiver-volume': 'receiver', 'drive-state': 'drive', 'heat-power': 'drive' }[kind.val()];
      if (wants) put(doc, wants, of.val());
      return [name.val().trim(), doc];
    };
  }

  const choicesOf = {
    source: ['element', 'steam', 'gas', 'solid-fire'],
    control: ['on-off', 'modulating'],
    coolantFails: ['on', 'off', 'stay'],
    valveFails: ['open', 'closed', 'stay'],
  };

  /** Fields of a drive by its kind: name in the document, caption, input. */
  function driveFields(kind, doc, context) {
    const receivers = Object.keys(context.document().receivers ?? {});
    const states = Object.entries(context.document().points ?? {}).flatMap(([id, point]) =>
      point.kind === 'drive-state' ? [id] : [],
    );
    const pick = (values, chosen, blank) =>
      options(
        $('<select class="middlecut-short">'),
        values.map((one) => [one, t(`values.${one}`, { defaultValue: one })]),
        chosen,
        blank,
      );
    const plain = (values, chosen, blank) => options($('<select class="middlecut-short">'), values, chosen, blank);
    const reported = ['reported', t('form.reported'), plain(states, doc.reported, '–')];
    const deadMan = ['deadManS', t('form.deadMan'), numberInput(doc.deadManS)];
    switch (kind) {
      case 'heat':
        return [
          ['ratedW', t('form.ratedW'), numberInput(doc.ratedW)],
          ['source', t('form.source'), pick(choicesOf.source, doc.source ?? 'element')],
          ['control', t('form.control'), pick(choicesOf.control, doc.control ?? 'modulating')],
          deadMan,
        ];
      case 'coolant':
        return [
          ['control', t('form.control'), pick(choicesOf.control, doc.control ?? 'on-off')],
          ['failPosition', t('form.fails'), pick(choicesOf.coolantFails, doc.failPosition ?? 'on')],
        ];
      case 'receiver-valve':
        return [
          ['receiver', t('form.receiver'), plain(receivers, doc.receiver, '–')],
          ['failPosition', t('form.fails'), pick(choicesOf.valveFails, doc.failPosition ?? 'closed')],
          reported,
        ];
      case 'diverter':
        return [
          ['positions', t('form.positions'), textInput((doc.positions ?? []).join(', '), 'middlecut-kind')],
          reported,
        ];
      case 'take-off':
        return [['control', t('form.control'), pick(choicesOf.control, doc.control ?? 'modulating')], deadMan];
      default:
        return [reported];
    }
  }

  const numeric = ['ratedW', 'deadManS'];
  const everyField = [
    'ratedW',
    'source',
    'control',
    'deadManS',
    'failPosition',
    'receiver',
    'reported',
    'positions',
    'travelS',
    'maxLPerH',
    'runOnS',
  ];

  function driveRow(context, row, data, changed) {
    const name = textInput(data.id, 'middlecut-name');
    const kinds = context.facts.drives.map((one) => [one, kindName(one)]);
    const kind = options($('<select class="middlecut-kind">'), kinds, data.doc.kind ?? 'receiver-valve');
    const first = $('<div class="middlecut-line">').appendTo(row);
    labelled(first, t('form.name'), name);
    labelled(first, t('form.kind'), kind);
    const second = $('<div class="middlecut-line">').appendTo(row);
    let fields = [];
    const show = () => {
      second.empty();
      fields = driveFields(kind.val(), data.doc.kind === kind.val() ? data.doc : {}, context);
      for (const [, caption, input] of fields) labelled(second, caption, input);
    };
    show();
    kind.on('change', () => {
      if (name.val() === '' || kinds.some(([one]) => one === name.val())) name.val(kind.val());
      show();
    });
    row.on('change input', 'input, select', changed);
    data.read = () => {
      const same = data.doc.kind === kind.val();
      const doc = same
        ? { ...data.doc }
        : Object.fromEntries(Object.entries(data.doc).filter(([key]) => !everyField.includes(key)));
      doc.kind = kind.val();
      for (const [field, , input] of fields) {
        const value = input.val();
        if (field === 'positions')
          doc.positions = value
            .split(',')
            .map((one) => one.trim())
            .filter(Boolean);
        else put(doc, field, numeric.includes(field) ? number(value) : value);
      }
      return [name.val().trim(), doc];
    };
  }

  function receiverRow(_context, row, data, changed) {
    const name = textInput(data.id, 'middlecut-name');
    const capacity = numberInput(data.doc.capacityL);
    const line = $('<div class="middlecut-line">').appendTo(row);
    labelled(line, t('form.name'), name);
    labelled(line, t('form.capacity'), capacity);
    const boxes = fractions.map((fraction) => {
      const box = $('<input type="checkbox" style="width:auto;margin:0">').prop(
        'checked',
        (data.doc.takes ?? []).includes(fraction),
      );
      $('<label class="middlecut-inline">')
        .append(box, $('<span style="min-width:0">').text(t(`values.${fraction}`)))
        .appendTo(line);
      return [fraction, box];
    });
    row.on('change input', 'input, select', changed);
    data.read = () => {
      const doc = { ...data.doc, takes: boxes.flatMap(([fraction, box]) => (box.prop('checked') ? [fraction] : [])) };
      put(doc, 'capacityL', number(capacity.val()));
      return [name.val().trim(), doc];
    };
  }

  const lists = { points: pointRow, drives: driveRow, receivers: receiverRow };
  const heads = ['id', 'kind', 'boilerVolumeL', 'heelL', 'altitudeM'];

  /**
   * @param place a jQuery element with the form's inputs in it
   * @param facts kinds of points and drives
   * @param changed is told the new document
   */
  lib.stillForm = function stillForm(place, facts, changed) {
    let document = {};
    let quiet = false;
    const context = { facts, document: () => document };
    const input = (field) => place.find(`[data-field="${field}"]`);

    function readList(key) {
      const entries = place.find(`[data-list="${key}"]`).editableList('items').toArray();
      return Object.fromEntries(entries.map((item) => item.data('data').read()).filter(([id]) => id !== ''));
    }

    function read() {
      if (quiet) return;
      const next = { ...document };
      for (const field of heads) {
        const value = input(field).val();
        put(next, field, field === 'id' || field === 'kind' ? value : number(value));
      }
      for (const key of Object.keys(lists)) {
        const read = readList(key);
        if (Object.keys(read).length > 0 || key === 'points') next[key] = read;
        else delete next[key];
      }
      const vent = { ...next.vent };
      for (const field of ['unvalved', 'feintsPathFailsOpen']) {
        if (input(field).prop('checked')) vent[field] = true;
        else delete vent[field];
      }
      put(next, 'vent', Object.keys(vent).length > 0 ? vent : undefined);
      document = next;
      changed(next);
    }

    const rested = lib.atRest(read, 150);
    for (const [key, render] of Object.entries(lists)) {
      lib.list(place.find(`[data-list="${key}"]`), {
        addItem: (row, _index, data) => {
          data.doc ??= {};
          render(context, row, data, rested);
          if (data.id === undefined) rested();
        },
        removeItem: rested,
        sortItems: rested,
      });
    }
    place.on('change input', '[data-field]', rested);

    return {
      show(next) {
        quiet = true;
        document = next;
        for (const field of heads) input(field).val(next[field] ?? '');
        for (const field of ['unvalved', 'feintsPathFailsOpen'])
          input(field).prop('checked', next.vent?.[field] === true);
        for (const key of Object.keys(lists)) {
          const element = place.find(`[data-list="${key}"]`);
          element.editableList('empty');
          for (const [id, doc] of Object.entries(next[key] ?? {})) element.editableList('addItem', { id, doc });
        }
        rested.cancel();
        quiet = false;
      },
      close: () => rested.cancel(),
    };
  };
})();
