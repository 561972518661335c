/* The tables of readings and commands in the edit dialogs of run and watch. */
(() => {
  window.middlecutEditor ??= {};
  const lib = window.middlecutEditor;
  if (lib.readingsTable) return;
  const t = (...given) => lib.t(...given);
  const options = (...given) => lib.options(...given);
  const labelled = (...given) => lib.labelled(...given);
  const kindName = (kind) => lib.kindName(kind);
  const list = (...given) => lib.list(...given);

  function readingRow(still, facts, row, data) {
    const points = Object.entries(still?.points ?? {}).map(([id, point]) => [id, `${id} · ${kindName(point.kind)}`]);
    const point = options($('<select class="middlecut-point">'), points, data.point, t('readings.choose'));
    const topic = $('<input type="text" class="middlecut-topic">')
      .attr('placeholder', t('readings.any'))
      .val(data.topic ?? '');
    const property = $('<input type="text" class="middlecut-property">').val(data.property ?? 'payload');
    const unit = $('<input type="text" class="middlecut-unit">').val(data.unit ?? '');
    const first = $('<div class="middlecut-line">').appendTo(row);
    const second = $('<div class="middlecut-line">').appendTo(row);
    labelled(first, t('readings.point'), point);
    labelled(first, t('readings.topic'), topic);
    labelled(second, t('readings.value'), property);
    labelled(second, t('readings.unit'), unit);
    property.typedInput({ default: 'msg', types: ['msg'] }).typedInput('width', '230px');
    const unitsNow = () => {
      const kind = still?.points?.[point.val()]?.kind;
      const fact = facts.points.find((one) => one.kind === kind);
      const own = fact ? t('readings.own', { unit: fact.unit }) : t('readings.ownUnit');
      const known = (fact?.units ?? []).map((value) => ({ value, label: value }));
      return [{ value: 'unit', label: t('readings.fixed'), options: [{ value: '', label: own }, ...known] }, 'msg'];
    };
    unit.typedInput({ default: 'unit', types: unitsNow() }).typedInput('width', '230px');
    unit.typedInput('type', data.unitType ?? 'unit').typedInput('value', data.unit ?? '');
    point.on('change', () => unit.typedInput('types', unitsNow()));
    data.read = () => ({
      point: point.val(),
      topic: topic.val().trim(),
      property: property.typedInput('value').trim() || 'payload',
      unit: unit.typedInput('value'),
      unitType: unit.typedInput('type'),
    });
  }

  const forms = ['share', 'percent', 'boolean', 'on-off', 'words'];

  function commandRow(still, row, data) {
    const drives = Object.entries(still?.drives ?? {}).map(([id, drive]) => [id, `${id} · ${kindName(drive.kind)}`]);
    const drive = options($('<select class="middlecut-point">'), drives, data.drive, t('commands.choose'));
    const topic = $('<input type="text" class="middlecut-topic">')
      .attr('placeholder', t('commands.own'))
      .val(data.topic ?? '');
    const form = options(
      $('<select class="middlecut-form">'),
      forms.map((one) => [one, t(`commands.forms.${one}`)]),
      data.form ?? 'share',
    );
    const on = $('<input type="text" class="middlecut-word">').val(data.on ?? 'ON');
    const off = $('<input type="text" class="middlecut-word">').val(data.off ?? 'OFF');
    const first = $('<div class="middlecut-line">').appendTo(row);
    const second = $('<div class="middlecut-line">').appendTo(row);
    labelled(first, t('commands.drive'), drive);
    labelled(first, t('commands.topic'), topic);
    labelled(second, t('commands.payload'), form);
    const words = [labelled(second, t('commands.on'), on), labelled(second, t('commands.off'), off)];
    const show = () => {
      for (const one of words) one.toggle(form.val() === 'words');
    };
    form.on('change', show);
    show();
    data.read = () => ({
      drive: drive.val(),
      topic: topic.val().trim(),
      form: form.val(),
      ...(form.val() === 'words' ? { on: on.val(), off: off.val() } : {}),
    });
  }

  /** A table of rows that read themselves; `render(still, facts, row, data)` fills one. */
  function table(place, rows, render) {
    let still = null;
    let facts = { points: [], drives: [] };
    const draw = (row, data) => render(still, facts, row, data);
    list(place, { addItem: (row, _index, data) => draw(row, data), addButton: true });
    for (const one of rows) place.editableList('addItem', { ...one });
    return {
      read: () =>
        place
          .editableList('items')
          .toArray()
          .map((item) => item.data('data').read()),
      redraw(newStill, newFacts) {
        const kept = this.read();
        still = newStill;
        facts = newFacts ?? facts;
        place.editableList('empty');
        for (const one of kept) place.editableList('addItem', { ...one });
      },
    };
  }

  const readingsTable = (place, rows) => table(place, rows, readingRow);
  const commandsTable = (place, rows) => table(place, rows, (still, _facts, row, data) => commandRow(still, row, data));

  Object.assign(lib, { readingsTable, commandsTable });
})();
