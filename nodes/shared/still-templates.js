/* Stills to begin with in the edit dialog; everything can be changed afterwards. */
(() => {
  window.middlecutEditor ??= {};
  const lib = window.middlecutEditor;
  if (lib.stillTemplates) return;

  const templates = {
    watch: {
      still: 1,
      id: 'still',
      name: 'Still',
      kind: 'pot',
      boilerVolumeL: 60,
      heelL: 8,
      points: { 'vapour-temp': { kind: 'vapour-temp' }, 'boiler-temp': { kind: 'boiler-temp' } },
    },
    pot: {
      still: 1,
      id: 'still',
      name: 'Still',
      kind: 'pot',
      boilerVolumeL: 60,
      heelL: 8,
      points: {
        'vapour-temp': { kind: 'vapour-temp', resolution: 0.0625 },
        'boiler-temp': { kind: 'boiler-temp', resolution: 0.0625 },
        'air-pressure': { kind: 'air-pressure' },
      },
      drives: {
        'hearts-valve': { kind: 'receiver-valve', receiver: 'hearts' },
        'feints-valve': { kind: 'receiver-valve', receiver: 'feints', failPosition: 'open' },
      },
      receivers: {
        hearts: { capacityL: 20, takes: ['hearts'] },
        feints: { capacityL: 25, takes: ['foreshots', 'heads', 'tails'] },
      },
      vent: { unvalved: true, feintsPathFailsOpen: true },
    },
    column: {
      still: 1,
      id: 'column',
      name: 'Column',
      kind: 'column',
      boilerVolumeL: 60,
      heelL: 8,
      points: {
        'vapour-temp': { kind: 'vapour-temp', resolution: 0.0625 },
        'boiler-temp': { kind: 'boiler-temp', resolution: 0.0625 },
        'air-pressure': { kind: 'air-pressure' },
        'collected-volume': { kind: 'collected-volume' },
      },
      drives: {
        heat: { kind: 'heat', ratedW: 4000, deadManS: 30 },
        coolant: { kind: 'coolant' },
        'take-off': { kind: 'take-off' },
        spout: { kind: 'diverter', positions: ['feints', 'heads', 'hearts'] },
      },
      receivers: {
        heads: { capacityL: 3, takes: ['foreshots', 'heads'] },
        hearts: { capacityL: 20, takes: ['hearts'] },
        feints: { capacityL: 20, takes: ['tails'] },
      },
      vent: { unvalved: true, feintsPathFailsOpen: true },
    },
  };

  lib.stillTemplates = templates;
})();
