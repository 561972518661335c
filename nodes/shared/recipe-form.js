/* The recipe's edit dialog: templates to begin with, and what a recipe says in plain words. */
(() => {
  window.middlecutEditor ??= {};
  const lib = window.middlecutEditor;
  if (lib.recipeOutline) return;

  /** Words of the recipe node. */
  function t(key, fields) {
    const type = RED.nodes.getType('middlecut-recipe');
    return type?._ ? type._(`middlecut-recipe.${key}`, fields) : key;
  }

  const plain = (value) => String(Math.round(value * 1000) / 1000);

  function sayTest(test) {
    switch (test.test) {
      case 'vapour-temp':
        return t('tests.vapour-temp', { value: plain(test.atLeastC) });
      case 'boiler-temp':
        return t('tests.boiler-temp', { value: plain(test.atLeastC) });
      case 'vapour-rise':
        return t('tests.vapour-rise', { value: plain(test.byK) });
      case 'strength':
        return t(`tests.strength-${test.by}`, { value: plain(test.atMostVolPercent) });
      case 'volume':
        return t(`tests.volume-${test.since}`, { value: plain(test.atLeastL) });
      case 'alcohol-share':
        return t('tests.alcohol-share', { value: plain(test.atLeastPercent) });
      case 'settled':
        return t('tests.settled', {
          value: plain(test.withinK),
          span: plain(test.overS / 60),
          least: plain(test.atLeastS / 60),
        });
      case 'time':
        return t('tests.time', { value: plain(test.atLeastS / 60) });
      default:
        return t('tests.order');
    }
  }

  function sayCondition(condition) {
    if (condition.anyOf) return condition.anyOf.map(sayPart).join(` ${t('tests.or')} `);
    if (condition.allOf) return condition.allOf.map(sayPart).join(` ${t('tests.and')} `);
    return sayTest(condition);
  }

  const sayPart = (part) => (part.test ? sayTest(part) : `(${sayCondition(part)})`);

  function sayGuard(guard) {
    const parts = [];
    if (guard?.volumeL) parts.push(`${plain(guard.volumeL)} L`);
    if (guard?.sharePercent) parts.push(t('outline.share', { value: plain(guard.sharePercent) }));
    if (guard?.timeS) parts.push(`${plain(guard.timeS / 60)} min`);
    return parts.length === 0 ? '' : `, ${t('outline.notBefore', { what: parts.join(', ') })}`;
  }

  function sayStep(step) {
    const asks = step.cut === 'ask' ? ` ${t('outline.asked')}` : '';
    const heat = step.heatShare === 1 ? '' : `, ${t('outline.heat', { value: plain(step.heatShare * 100) })}`;
    return `${t('outline.until')} ${sayCondition(step.endsWhen)}${sayGuard(step.notBefore)}${heat}${asks}`;
  }

  /** A checked recipe as a list of phases with how each ends. */
  lib.recipeOutline = function recipeOutline(place, recipe) {
    place.empty();
    if (!recipe) return;
    $('<div>')
      .text(t('outline.title', { name: recipe.name, pressure: plain(recipe.referencePressureHPa) }))
      .appendTo(place);
    const list = $('<ol class="middlecut-outline">').appendTo(place);
    for (const step of recipe.phases)
      $('<li>')
        .append($('<b>').text(t(`phases.${step.phase}`)), ` ${sayStep(step)}`)
        .appendTo(list);
    for (const [name, variant] of Object.entries(recipe.variants)) {
      const changes = Object.entries(variant.cuts).map(
        ([phase, cut]) =>
          `${t(`phases.${phase}`)} ${cut.endsWhen ? `${t('outline.until')} ${sayCondition(cut.endsWhen)}` : t('outline.otherwise')}`,
      );
      $('<div>')
        .append($('<i>').text(name), `: ${changes.join('; ')}`)
        .appendTo(place);
    }
  };

  const heatUp = { phase: 'heat-up', endsWhen: { test: 'vapour-temp', atLeastC: 60 }, holdS: 10 };
  lib.recipeTemplates = {
    pot: {
      recipe: 1,
      name: 'Spirit run',
      kind: 'spirit',
      stillKind: 'pot',
      phases: [
        heatUp,
        { phase: 'foreshots', endsWhen: { test: 'volume', atLeastL: 0.2 } },
        { phase: 'heads', endsWhen: { test: 'vapour-temp', atLeastC: 82 }, cut: 'ask' },
        { phase: 'hearts', endsWhen: { test: 'vapour-temp', atLeastC: 91 }, notBefore: { timeS: 600 }, holdS: 45 },
        { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 97 }, holdS: 60 },
      ],
      variants: { 'for-oak': { cuts: { hearts: { endsWhen: { test: 'vapour-temp', atLeastC: 92.2 } } } } },
    },
    column: {
      recipe: 1,
      name: 'Spirit run in the column',
      kind: 'spirit',
      stillKind: 'column',
      phases: [
        { ...heatUp, takeOffShare: 0 },
        {
          phase: 'equalise',
          endsWhen: { test: 'settled', withinK: 0.15, overS: 600, atLeastS: 1800 },
          takeOffShare: 0,
        },
        { phase: 'foreshots', endsWhen: { test: 'volume', atLeastL: 0.25 }, takeOffShare: 0.2 },
        { phase: 'heads', endsWhen: { test: 'alcohol-share', atLeastPercent: 6 }, takeOffShare: 0.25 },
        {
          phase: 'hearts',
          endsWhen: { test: 'vapour-rise', byK: 0.3 },
          notBefore: { sharePercent: 40 },
          holdS: 60,
          takeOffShare: 0.75,
        },
        { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 96 }, holdS: 60 },
      ],
    },
    stripping: {
      recipe: 1,
      name: 'Stripping run',
      kind: 'stripping',
      stillKind: 'pot',
      phases: [heatUp, { phase: 'tails', endsWhen: { test: 'vapour-temp', atLeastC: 98.8 }, holdS: 60 }],
    },
  };
})();
