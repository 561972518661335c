/* What the edit dialogs share: checking as you type, tables of readings and commands. Runs in the Node-RED editor. */
(() => {
  // Scripts arrive in any order, and once for each node that names them.
  window.middlecutEditor ??= {};
  const lib = window.middlecutEditor;
  if (lib.check) return;

  let choicesAsked = null;

  /** Words of the editor's language; they live with the still node. */
  function t(key, fields) {
    const type = RED.nodes.getType('middlecut-still');
    return type?._ ? type._(`middlecut-still.${key}`, fields) : key;
  }

  function choices() {
    choicesAsked ??= $.getJSON('middlecut/choices').catch((error) => {
      choicesAsked = null;
      throw error;
    });
    return choicesAsked;
  }

  function check(request) {
    return $.ajax({
      url: 'middlecut/check',
      type: 'POST',
      contentType: 'application/json',
      data: JSON.stringify(request),
    });
  }

  /** A draft of a config node as it is saved: for checking against, and for names. */
  function draftOf(id) {
    const node = id && id !== '_ADD_' ? RED.nodes.node(id) : null;
    return node ? { source: node.source, document: node.document, file: node.file } : null;
  }

  /** Calls once typing rests. */
  function atRest(call, ms = 300) {
    let timer = null;
    const rested = () => {
      clearTimeout(timer);
      timer = setTimeout(call, ms);
    };
    rested.cancel = () => clearTimeout(timer);
    return rested;
  }

  function showProblems(place, answer) {
    place.empty();
    const count = answer.problems.length;
    place.toggleClass('middlecut-well', answer.ok);
    if (count === 0) {
      place.append($('<div class="middlecut-fine">').text(`✓ ${t('check.fine')}`));
      return;
    }
    const list = $('<ul>').appendTo(place);
    for (const problem of answer.problems) {
      const line = problem.line === null ? '' : `${t('check.line', { line: problem.line })} `;
      $('<li>')
        .addClass(`middlecut-${problem.severity}`)
        .text(line + problem.text)
        .appendTo(list);
    }
  }

  function showSilence(place) {
    place.removeClass('middlecut-well').empty();
    $('<div class="middlecut-warning">').text(t('check.silent')).appendTo(place);
  }

  function options(select, values, chosen, blank) {
    select.empty();
    if (blank !== undefined) select.append($('<option value="">').text(blank));
    for (const value of values) {
      const [key, text] = Array.isArray(value) ? value : [value, value];
      select.append($('<option>').val(key).text(text));
    }
    const wanted = chosen ?? '';
    if (wanted !== '' && !values.some((value) => (Array.isArray(value) ? value[0] : value) === wanted))
      select.append($('<option>').val(wanted).text(`${wanted} (?)`));
    select.val(wanted);
    return select;
  }

  function kindName(kind) {
    const key = `kinds.${kind}`;
    const text = t(key);
    return text.endsWith(key) || text === key ? kind : text;
  }

  const list = (place, settings) =>
    place.css({ 'min-width': '420px' }).editableList({ sortable: true, removable: true, height: 'auto', ...settings });

  function labelled(row, text, input) {
    return $('<label class="middlecut-inline">').append($('<span>').text(text), input).appendTo(row);
  }

  /** The still chosen in a dialog, parsed: told at once and at each change. */
  function followStill(select, tell) {
    const ask = async () => {
      const draft = draftOf(select.val());
      const facts = await choices();
      const answer = draft ? await check({ kind: 'still', draft }) : null;
      // The dialog may be closed before the answer is there.
      if (select[0]?.isConnected) tell(answer?.still ?? null, facts);
    };
    select.on('change', ask);
    ask();
  }

  /** Where a time stamp sits in a message, or that the arrival counts. */
  function timeInput(property, type) {
    if (!property.val()) property.val('timestamp');
    const none = { value: 'none', label: t('readings.arrival'), hasValue: false };
    property.typedInput({ default: 'msg', types: ['msg', none], typeField: type });
    property.typedInput('type', type.val() || 'msg');
  }

  const places = ['msg', 'num', 'flow', 'global', 'env'];

  /** A number in the message, fixed, or in a context. */
  function numberInput(value, type, usual, first = 'msg') {
    if (!value.val() && usual !== undefined && !type.val()) value.val(usual);
    value.typedInput({ default: first, types: places, typeField: type });
    value.typedInput('type', type.val() || first);
  }

  /** An air pressure: as any number, or the last message with a topic. */
  function pressureInput(value, type) {
    if (!value.val() && !type.val()) value.val('pressure');
    const topic = { value: 'topic', label: t('pressure.topic'), icon: 'fa fa-comment-o' };
    value.typedInput({ default: 'msg', types: [topic, ...places], typeField: type });
    value.typedInput('type', type.val() || 'msg');
  }

  /** A text of JSON or YAML that is checked as it is typed. */
  function documentEditor({ id, value, onChange }) {
    const editor = RED.editor.createEditor({ id, mode: 'ace/mode/json', value: value ?? '' });
    const rested = atRest(() => onChange(editor.getValue()), 250);
    editor.getSession().on('change', rested);
    return {
      editor,
      text: () => editor.getValue(),
      set(text) {
        if (text !== editor.getValue()) editor.setValue(text, -1);
      },
      close() {
        rested.cancel();
        editor.destroy();
      },
    };
  }

  const style = `
    .middlecut-problems { position: sticky; bottom: 0; z-index: 2; margin: 6px 0 10px; padding: 6px 10px; border: 1px solid var(--red-ui-form-input-border-color, #ccc); border-radius: 4px; max-height: 160px; overflow: auto; font-size: 13px; line-height: 1.45; background: var(--red-ui-secondary-background, #fff); }
    .middlecut-problems ul { margin: 0 0 0 16px; }
    .middlecut-error { color: var(--red-ui-text-color-error, #ad1625); }
    .middlecut-warning { color: var(--red-ui-text-color-warning, #8a6d00); }
    .middlecut-fine { color: var(--red-ui-text-color-success, #3f7a3f); }
    .middlecut-line { display: flex; gap: 10px; align-items: center; flex-wrap: wrap; padding: 2px 0; }
    .middlecut-line label.middlecut-inline { display: inline-flex; align-items: center; gap: 5px; margin: 0; width: auto; }
    .middlecut-line label.middlecut-inline > span { min-width: 34px; color: var(--red-ui-secondary-text-color, #666); font-size: 12px; }
    .middlecut-line input[type=text], .middlecut-line input[type=number], .middlecut-line select { margin: 0; }
    .middlecut-line .middlecut-point { width: 230px; }
    .middlecut-line .middlecut-topic { width: 230px; }
    .middlecut-line .middlecut-form { width: 200px; }
    .middlecut-line .middlecut-word { width: 70px; }
    .middlecut-line .middlecut-number { width: 76px; }
    .middlecut-line .middlecut-name { width: 120px; }
    .middlecut-line .middlecut-kind { width: 216px; }
    .middlecut-line .middlecut-short { width: 110px; }
    .middlecut-note { max-width: 460px; color: var(--red-ui-secondary-text-color, #666); font-size: 12px; line-height: 1.4; margin: 2px 0 8px; }
    .middlecut-title { margin: 12px 0 4px; font-weight: 600; }
    .middlecut-outline { max-width: 560px; margin: 4px 0; padding-left: 22px; font-size: 13px; line-height: 1.5; }
    .middlecut-caution { max-width: 560px; border-left: 3px solid var(--red-ui-text-color-warning, #8a6d00); padding: 2px 8px; margin: 6px 0; font-size: 12px; line-height: 1.4; }
  `;
  $('<style id="middlecut-style">').text(style).appendTo('head');

  Object.assign(lib, {
    t,
    choices,
    check,
    draftOf,
    atRest,
    showProblems,
    showSilence,
    options,
    kindName,
    list,
    labelled,
    followStill,
    timeInput,
    numberInput,
    pressureInput,
    documentEditor,
  });
})();
