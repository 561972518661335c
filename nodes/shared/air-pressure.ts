import type { Node, NodeAPI, NodeMessage } from 'node-red';
import { airPressureRangeHPa, looksSeaLevelReduced } from '../../lib/physics';
import { problem } from '../../lib/problems';
import { evaluate, type NumberFound, numberOf, type TypedValue } from './typed-value';

/** Where a node takes the air pressure from; type `topic` is the last message with that topic. */
export interface PressureSetting extends TypedValue {
  readonly unit: string;
  /** Height of the place, to notice a pressure reduced to sea level; null where it is not said. */
  readonly altitudeM: number | null;
}

export interface AirPressure {
  /** Whether a message was the pressure itself, and what is wrong with it. */
  hear(message: NodeMessage): NumberFound | null;
  read(message: NodeMessage): Promise<NumberFound>;
  forget(): void;
}

const contextKey = 'airPressureHPa';

function checked(found: NumberFound): NumberFound {
  if (found.kind === 'bad') return found;
  const { lowest, highest } = airPressureRangeHPa;
  if (found.value >= lowest && found.value <= highest) return found;
  const hPa = `${Math.round(found.value * 10) / 10} hPa`;
  return {
    kind: 'bad',
    problem: problem(
      'air pressure',
      hPa,
      `is outside ${lowest} to ${highest} hPa`,
      'Give the station pressure, and its unit',
    ),
  };
}

/** The air pressure as a node is told it, remembered through a redeploy where it comes in messages of its own. */
export function createAirPressure(RED: NodeAPI, node: Node, setting: PressureSetting): AirPressure {
  let warned = false;

  function suspect(found: NumberFound): NumberFound {
    if (
      found.kind === 'ok' &&
      setting.altitudeM !== null &&
      looksSeaLevelReduced(found.value, setting.altitudeM) &&
      !warned
    ) {
      warned = true;
      node.warn(
        `${Math.round(found.value)} hPa is too high for ${setting.altitudeM} m: it looks reduced to sea level, and every shift by it is wrong. Give the station pressure.`,
      );
    }
    return found;
  }

  const remembered = { value: 'payload', type: 'msg' };
  return {
    hear(message) {
      if (setting.type !== 'topic' || message.topic !== setting.value) return null;
      const value = message.payload;
      const found = checked(
        numberOf(
          value === undefined || value === null ? { kind: 'none' } : { kind: 'value', value },
          'air pressure',
          remembered,
          setting.unit,
          'hPa',
        ),
      );
      if (found.kind === 'ok') node.context().set(contextKey, found.value);
      return suspect(found);
    },
    async read(message) {
      if (setting.type !== 'topic')
        return suspect(
          checked(numberOf(await evaluate(RED, node, message, setting), 'air pressure', setting, setting.unit, 'hPa')),
        );
      const known = node.context().get(contextKey) as unknown;
      if (typeof known === 'number') return { kind: 'ok', value: known };
      const message1 = `is not known yet: no message with topic ${setting.value} came`;
      return { kind: 'bad', problem: problem('air pressure', undefined, message1, 'Send the air pressure first') };
    },
    forget() {
      node.context().set(contextKey, undefined);
    },
  };
}

/** The settings of a pressure as a node keeps them. */
export interface PressureDef {
  readonly pressure?: string;
  readonly pressureType?: string;
  readonly pressureUnit?: string;
  readonly altitudeM?: string | number;
}

export function pressureSetting(def: PressureDef): PressureSetting {
  const altitude = def.altitudeM === undefined || def.altitudeM === '' ? Number.NaN : Number(def.altitudeM);
  return {
    value: def.pressure ?? 'pressure',
    type: def.pressureType ?? 'msg',
    unit: def.pressureUnit || 'hPa',
    altitudeM: Number.isFinite(altitude) ? altitude : null,
  };
}
