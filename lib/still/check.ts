import { type Checked, type Problem, parseDocument, problem, warning } from '../problems';
import { type Still, stillSchema } from './schema';

/** Reads a still document: schema first, then what only makes sense together. All problems at once. */
export function checkStill(document: unknown): Checked<Still> {
  const parsed = parseDocument(stillSchema, document);
  if (parsed.kind === 'bad') return parsed;
  const found = [
    ...references(parsed.value),
    ...paths(parsed.value),
    ...overflows(parsed.value),
    ...ratings(parsed.value),
  ];
  const errors = found.filter((one) => one.severity === 'error');
  return errors.length > 0 ? { kind: 'bad', problems: found } : { kind: 'ok', value: parsed.value, warnings: found };
}

function references(still: Still): Problem[] {
  const found: Problem[] = [];
  const known = (kind: string, names: readonly string[]) =>
    `Use one of ${names.join(', ') || `(this still has no ${kind})`}`;
  const receivers = Object.keys(still.receivers);
  const drives = Object.keys(still.drives);
  for (const [id, point] of Object.entries(still.points)) {
    if (point.receiver !== undefined && !receivers.includes(point.receiver)) {
      found.push(
        problem(`points.${id}.receiver`, point.receiver, 'is no receiver of this still', known('receiver', receivers)),
      );
    }
    if (point.drive !== undefined && !drives.includes(point.drive)) {
      found.push(problem(`points.${id}.drive`, point.drive, 'is no drive of this still', known('drive', drives)));
    }
    if (point.kind === 'receiver-volume' && point.receiver === undefined) {
      found.push(problem(`points.${id}.receiver`, undefined, 'is missing', 'Say which receiver this measures'));
    }
    if (point.min !== undefined && point.max !== undefined && point.min >= point.max) {
      found.push(
        problem(`points.${id}.min`, point.min, `is not below max ${point.max}`, 'Exchange or correct the two'),
      );
    }
  }
  for (const [id, drive] of Object.entries(still.drives)) {
    if (drive.reported !== undefined && still.points[drive.reported]?.kind !== 'drive-state') {
      found.push(
        problem(
          `drives.${id}.reported`,
          drive.reported,
          'is no drive-state point of this still',
          'Add that point or correct the name',
        ),
      );
    }
    const named = drive.kind === 'receiver-valve' ? [drive.receiver] : drive.kind === 'diverter' ? drive.positions : [];
    for (const name of named) {
      if (!receivers.includes(name)) {
        found.push(problem(`drives.${id}`, name, 'is no receiver of this still', known('receiver', receivers)));
      }
    }
  }
  return found;
}

/** A hot still must never be sealed: not by us, not by a power cut. */
function paths(still: Still): Problem[] {
  const found: Problem[] = [];
  const drives = Object.entries(still.drives);
  const valves = drives.filter(([, drive]) => drive.kind === 'receiver-valve');
  const failsOpen = valves.some(([, drive]) => drive.kind === 'receiver-valve' && drive.failPosition !== 'closed');
  if (valves.length > 0 && !failsOpen && !(still.vent.unvalved && still.vent.feintsPathFailsOpen)) {
    found.push(
      problem(
        'vent',
        still.vent,
        'every receiver valve closes without power, which seals a hot still',
        'State vent.unvalved and vent.feintsPathFailsOpen if the still really has both, or fit a feints valve that fails open',
      ),
    );
  }
  const valved = new Set(valves.map(([, drive]) => (drive.kind === 'receiver-valve' ? drive.receiver : '')));
  const diverter = drives.some(([, drive]) => drive.kind === 'diverter');
  const bare = Object.keys(still.receivers).filter((receiver) => !valved.has(receiver));
  if (valves.length > 0 && !diverter && bare.length > 0) {
    found.push(
      problem(
        'receivers',
        bare.join(', '),
        'has no valve while others have',
        'Give each receiver a valve, or use a diverter',
      ),
    );
  }
  for (const [id, drive] of drives) {
    if (drive.kind === 'heat' && drive.source !== 'solid-fire' && drive.deadManS === undefined) {
      found.push(
        warning(
          `drives.${id}.deadManS`,
          undefined,
          'is missing: if this computer or the link dies, nothing switches the heat off',
          'Set up an automatic switch-off in the device itself and state its time here',
        ),
      );
    }
    found.push(...deadMan(id, drive));
    if (drive.kind === 'coolant' && drive.failPosition !== 'on') {
      found.push(
        warning(
          `drives.${id}.failPosition`,
          drive.failPosition,
          'stops the coolant at a power cut',
          'Fit one that fails on',
        ),
      );
    }
  }
  return found;
}

/** The switch-off by the device itself is fed by repeats, a third of its time apart; a scan comes once a second. */
const deadManLeastS = 3;

function deadMan(id: string, { deadManS, ttlS }: Still['drives'][string]): Problem[] {
  if (deadManS === undefined) return [];
  const path = `drives.${id}`;
  if (deadManS < deadManLeastS) {
    const message = `is so short that one late command switches it off: repeats leave once a second at the most`;
    return [
      warning(`${path}.deadManS`, deadManS, message, `Give the device ${deadManLeastS} s or more, and say so here`),
    ];
  }
  if (ttlS <= deadManS) return [];
  const message = `is longer than deadManS, ${deadManS} s: a command could be carried out after the device has switched itself off`;
  return [warning(`${path}.ttlS`, ttlS, message, `Make it ${deadManS} s or less`)];
}

/** What overflows must find a receiver, and one that what runs then may enter. */
function overflows(still: Still): Problem[] {
  return Object.entries(still.receivers).flatMap(([id, { takes, overflowTo }]) => {
    if (overflowTo === undefined) return [];
    const path = `receivers.${id}.overflowTo`;
    const next = still.receivers[overflowTo];
    if (next === undefined || overflowTo === id) {
      const others = Object.keys(still.receivers).filter((name) => name !== id);
      const remedy = `Use one of ${others.join(', ') || '(this still has no other receiver)'}`;
      return [
        problem(
          path,
          overflowTo,
          overflowTo === id ? 'is the receiver itself' : 'is no receiver of this still',
          remedy,
        ),
      ];
    }
    const isPure = (fractions: readonly string[]) => fractions.every((fraction) => fraction === 'hearts');
    if (!isPure(next.takes) || isPure(takes)) return [];
    const message = `takes hearts only, and ${id} takes ${takes.join(', ')}: it would never be opened for them`;
    return [problem(path, overflowTo, message, 'Name a receiver for feints, or let only hearts overflow into it')];
  });
}

function ratings(still: Still): Problem[] {
  const found: Problem[] = [];
  if (still.heelL >= still.boilerVolumeL) {
    found.push(
      problem(
        'heelL',
        still.heelL,
        `is not below the boiler's ${still.boilerVolumeL} L`,
        'State the liquid that must remain over the element',
      ),
    );
  }
  if (still.assumeAltitudePressure && still.altitudeM === undefined) {
    found.push(
      problem(
        'altitudeM',
        undefined,
        'is missing, but assumeAltitudePressure asks for it',
        'State the height above sea level in metres',
      ),
    );
  }
  const heated = Object.values(still.drives).some((drive) => drive.kind === 'heat');
  const kinds = Object.values(still.points).map((point) => point.kind);
  if (heated && !kinds.includes('boiler-temp') && !kinds.includes('element-temp')) {
    found.push(
      warning(
        'points',
        undefined,
        'there is no boiler-temp or element-temp point: a dry boil cannot be seen',
        'Add a probe in the boiler',
      ),
    );
  }
  return found;
}
