import { bubbleTempC, liquidEnthalpyJPerMol, vapourAtTemp } from '../../lib/physics';
import type { StillState, Workspace } from './state';
import { lightHeadsK } from './tracers';
import { addParcel, boilOff, compositionOf, emptyParcel, type Outlet, type Parcel, type Vessel } from './vessel';

const outlet: Outlet = { outsideHPa: 0, resistance: 0, riseK: 0, theta: 1 };
/** Packing that no vapour holds up any more drains with this time constant. */
const drainS = 120;

function addVapour(vessel: Vessel, vapour: Parcel, share: number): void {
  vessel.ethanolMol += vapour.ethanolMol * share;
  vessel.waterMol += vapour.waterMol * share;
  vessel.energyJ += vapour.energyJ * share;
  for (let index = 0; index < vessel.tracersMol.length; index++)
    vessel.tracersMol[index]! += vapour.tracersMol[index]! * share;
}

/** Lets liquid above the hold-up run down into the vessel below. */
function runDown(from: Vessel, to: Vessel, holdUpMol: number, isBoiling: boolean, dtS: number): void {
  const total = from.ethanolMol + from.waterMol;
  if (total <= 0) return;
  const above = Math.max(0, total - holdUpMol);
  const share = above / total + (isBoiling ? 0 : Math.min(0.2, (dtS / drainS) * (1 - above / total)));
  if (share <= 0) return;
  const energyJ = total * share * liquidEnthalpyJPerMol(compositionOf(from), from.tempC);
  to.ethanolMol += from.ethanolMol * share;
  to.waterMol += from.waterMol * share;
  to.energyJ += energyJ;
  from.ethanolMol *= 1 - share;
  from.waterMol *= 1 - share;
  from.energyJ -= energyJ;
  for (let index = 0; index < to.tracersMol.length; index++) {
    const movedMol = from.tracersMol[index]! * share;
    to.tracersMol[index]! += movedMol;
    from.tracersMol[index]! -= movedMol;
  }
}

/**
 * Takes the boiler's vapour up through the stages, lowest first: on each it condenses into the liquid there, which boils as much as its heat
 * allows; what is too much runs down. A cold stage lets nothing through, so the vapour's front climbs as the metal warms.
 *
 * @param work `vapour` holds the boiler's vapour on entry and the head's on return
 */
export function climb(state: StillState, work: Workspace, dtS: number): void {
  const { spec, stages, totals } = state;
  const count = stages.length;
  const lossWPerK = count === 0 ? 0 : spec.tower.lossWPerK / count;
  const dropHPa = state.boilerHPa - state.head.pressureHPa;
  for (let index = 0; index < count; index++) {
    const { vessel, share } = stages[index]!;
    const isHot = vessel.tempC > vessel.equilibrium.tempC - 2;
    const met = isHot ? share : 1;
    emptyParcel(work.bypass);
    if (met < 1) addParcel(work.bypass, work.vapour, 1 - met);
    addVapour(vessel, work.vapour, met);
    const lossJ = lossWPerK * (vessel.tempC - spec.site.roomTempC) * dtS;
    vessel.energyJ -= lossJ;
    totals.lossJ += lossJ;
    outlet.outsideHPa = state.head.pressureHPa + dropHPa * (1 - (index + 1) / count);
    boilOff(vessel, dtS, outlet, work.vapour);
    const isBoiling = work.vapour.ethanolMol + work.vapour.waterMol > 0;
    addParcel(work.vapour, work.bypass);
    const below = index === 0 ? state.boiler : stages[index - 1]!.vessel;
    runDown(vessel, below, spec.tower.holdUpMolPerStage, isBoiling, dtS);
  }
}

/** Dew temperature of a vapour by secant steps from the liquid last found; two or three suffice while the still runs evenly. */
function dewTempNearC(state: StillState, y: number, pressureHPa: number): number {
  let x = state.head.dewX;
  let tempC = bubbleTempC(x, pressureHPa, state.head.vapourTempC);
  let error = vapourAtTemp(x, tempC) - y;
  let slope = 1.2;
  for (let step = 0; step < 12 && Math.abs(error) > 1e-9; step++) {
    const next = Math.min(0.9999, Math.max(1e-9, x - error / slope));
    if (next === x) break;
    tempC = bubbleTempC(next, pressureHPa, tempC);
    const nextError = vapourAtTemp(next, tempC) - y;
    const secant = (nextError - error) / (next - x);
    if (secant > 0.05) slope = secant;
    x = next;
    error = nextError;
  }
  state.head.dewX = x;
  return tempC;
}

/** Temperature of the head's vapour on the dew line, lowered by light heads compounds. */
export function readHead(state: StillState, vapour: Parcel, dtS: number): void {
  const { head, stages } = state;
  const totalMol = vapour.ethanolMol + vapour.waterMol;
  head.flowMolPerS = totalMol / dtS;
  if (totalMol <= 1e-12) return;
  head.y = vapour.ethanolMol / totalMol;
  const top = stages.at(-1);
  const isWholeStage = top !== undefined && top.share === 1;
  const dewC = isWholeStage ? top.vessel.tempC : dewTempNearC(state, Math.min(1, head.y), head.pressureHPa);
  head.vapourTempC = dewC + lightHeadsK(vapour.tracersMol, totalMol, dewC);
}

/**
 * Temperature around the probe: vapour warms it in seconds, without vapour it cools in minutes.
 *
 * @param carriedMol liquid carried over with the vapour in this step; it wets the probe with the boiler's temperature
 */
export function warmProbePocket(state: StillState, carriedMol: number, dtS: number): void {
  const { head, spec } = state;
  const weight = head.flowMolPerS / (head.flowMolPerS + 1e-4);
  const wet = head.flowMolPerS > 0 ? 1 - Math.exp(-carriedMol / dtS / head.flowMolPerS / 0.05) : 0;
  const vapourC = head.vapourTempC + wet * (state.boiler.tempC - head.vapourTempC);
  const toVapour = weight / 4;
  const toRoom = (1 - weight) / 600;
  const gain = 1 + dtS * (toVapour + toRoom);
  head.tempC = (head.tempC + dtS * (toVapour * vapourC + toRoom * spec.site.roomTempC)) / gain;
}
