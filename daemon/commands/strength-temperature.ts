import {
  azeotrope,
  liquidAtBubbleTemp,
  massFractionFromMoleFraction,
  type ProbeLine,
  shiftBoilerTemp,
  shiftVapourTemp,
  standardAirPressureHPa,
  vapourAtDewTemp,
  waterBoilingPointC,
} from '../../lib/physics';
import { type Problem, problem } from '../../lib/problems';
import { fail, flagOf, type Io, textOf } from './command';
import { type AirPressure, type Call, measuredOption, neededAirPressure, takeDifferenceK } from './quantity-options';
import {
  abvOf,
  alignRows,
  caution,
  fixed,
  plainStrength,
  present,
  showAbv,
  showPressure,
  showTemp,
  strengthRows,
} from './show-figures';

/** What a temperature says of strength: on the line the probe follows, and with the spread of the probe's uncertainty. */
interface Told {
  readonly tempC: number;
  readonly at1013C: number;
  readonly vapourMoleFraction: number;
  readonly liquidMoleFraction: number;
  readonly uncertaintyK: number;
  readonly lowestAbv: number;
  readonly highestAbv: number;
  /** Span of the mole fraction over 0.1 K. */
  readonly spanPer100mK: number;
}

/** A span of mole fraction over 0.1 K above which a temperature is no measure of strength. */
const blindSpan = 0.015;

function abvOfMole(moleFraction: number): number {
  return abvOf(massFractionFromMoleFraction(moleFraction));
}

function tell(line: ProbeLine, tempC: number, uncertaintyK: number, airPressureHPa: number): Told {
  const compositionAt = line === 'vapour' ? vapourAtDewTemp : liquidAtBubbleTemp;
  const shift = line === 'vapour' ? shiftVapourTemp : shiftBoilerTemp;
  const at = (offsetK: number) => compositionAt(tempC + offsetK, airPressureHPa);
  return {
    tempC,
    at1013C: shift(tempC, airPressureHPa, standardAirPressureHPa),
    vapourMoleFraction: vapourAtDewTemp(tempC, airPressureHPa),
    liquidMoleFraction: liquidAtBubbleTemp(tempC, airPressureHPa),
    uncertaintyK,
    lowestAbv: abvOfMole(at(uncertaintyK)),
    highestAbv: abvOfMole(at(-uncertaintyK)),
    spanPer100mK: at(-0.05) - at(0.05),
  };
}

/** Strength of the vapour at a vapour probe, or of the liquid at a boiler probe. */
export function strengthFromTemperature(call: Call, line: ProbeLine, io: Io): number {
  const json = flagOf(call.options, 'json');
  const tempC = measuredOption(call, line, 'temperature');
  const uncertaintyText = textOf(call.options, 'uncertainty') ?? '0.1K';
  const uncertaintyK = takeDifferenceK(call, '--uncertainty', uncertaintyText);
  const air = neededAirPressure(call);
  if (tempC !== null && air !== null) call.problems.push(...outside(call, line, tempC, air.airPressureHPa));
  if (call.problems.length > 0 || tempC === null || uncertaintyK === null || air === null)
    return fail(io, call.problems, json);
  const told = tell(line, tempC, uncertaintyK, air.airPressureHPa);
  call.cautions.push(...cautions(line, told));
  return present(io, json, call, plain(line, told, air), show(call, line, told, air));
}

function outside(call: Call, line: ProbeLine, tempC: number, airPressureHPa: number): Problem[] {
  const least = azeotrope(airPressureHPa).tempC;
  const most = waterBoilingPointC(airPressureHPa);
  if (tempC >= least && tempC <= most) return [];
  const what = line === 'vapour' ? 'vapour of ethanol and water condenses' : 'a mixture of ethanol and water boils';
  const message = `${what} from ${fixed(least, 2)} to ${fixed(most, 2)} °C at ${showPressure(call, airPressureHPa)}`;
  const remedy =
    tempC < least
      ? 'Check probe and air pressure; lighter compounds of the heads run cooler, and temperature tells no strength there'
      : 'Check probe and air pressure; sugar, salts or back-pressure raise a boiler above water';
  return [problem(`--${line}`, textOf(call.options, line), message, remedy)];
}

function cautions(line: ProbeLine, told: Told): Problem[] {
  const found: Problem[] = [];
  if (told.spanPer100mK > blindSpan) {
    const message = `strong mixtures boil almost alike: here 0.1 K spans ${fixed(told.spanPer100mK, 2)} in mole fraction, at the azeotrope 0.1`;
    found.push(caution(message, "Temperature can't measure strength here: use an alcoholometer"));
  }
  if (line === 'vapour') {
    const message =
      'strength of the vapour at the probe; heads lower its temperature and look stronger, reflux after the probe makes the spout stronger';
    found.push(caution(message, 'Check with an alcoholometer'));
  } else {
    const message =
      'for ethanol and water alone: sugar, salts and back-pressure raise the boiler, which then looks weaker';
    found.push(caution(message, 'Check a cooled sample'));
  }
  return found;
}

function plain(line: ProbeLine, told: Told, air: AirPressure) {
  const strengthOf = (moleFraction: number) => plainStrength(massFractionFromMoleFraction(moleFraction));
  return {
    from: line,
    ...(line === 'vapour' ? { vapourTempC: told.tempC } : { boilerTempC: told.tempC }),
    airPressureHPa: air.airPressureHPa,
    airPressureFrom: air.from,
    tempAt1013HPaC: told.at1013C,
    vapour: strengthOf(told.vapourMoleFraction),
    liquid: strengthOf(told.liquidMoleFraction),
    uncertaintyK: told.uncertaintyK,
    lowestAbv: told.lowestAbv,
    highestAbv: told.highestAbv,
  };
}

function show(call: Call, line: ProbeLine, told: Told, air: AirPressure): string {
  const { liquidMoleFraction, vapourMoleFraction } = told;
  const own = line === 'vapour' ? vapourMoleFraction : liquidMoleFraction;
  const reading = `${showTemp(call, told.tempC)} at ${showPressure(call, air.airPressureHPa)}`;
  const other =
    line === 'vapour'
      ? ['over a liquid of', showAbv(abvOfMole(liquidMoleFraction), 1)]
      : ['its vapour', showAbv(abvOfMole(vapourMoleFraction), 1)];
  return alignRows([
    [line, `${reading} (${fixed(told.at1013C, 2)} °C at 1013.25 hPa)`],
    ...strengthRows('strength', massFractionFromMoleFraction(own)),
    [`± ${fixed(told.uncertaintyK, 2)} K`, `${fixed(100 * told.lowestAbv, 1)} to ${showAbv(told.highestAbv, 1)}`],
    other,
  ]);
}
