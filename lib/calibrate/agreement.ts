/** How two probes in the same place compare. */
export interface ProbeAgreement {
  readonly verdict: 'agree' | 'doubtful' | 'disagree';
  /** Second less first [K]. */
  readonly differenceK: number;
  /** Standard uncertainty of the difference [K]. */
  readonly uncertaintyK: number;
}

/**
 * Whether two probes that should see the same temperature do.
 *
 * @param firstC corrected reading of the first [°C]
 * @param firstUncertaintyK its standard uncertainty [K]
 * @param secondC corrected reading of the second [°C]
 * @param secondUncertaintyK its standard uncertainty [K]
 * @returns agree within two standard uncertainties of the difference, disagree beyond three, doubtful between. Probes that share a well, a bus or a bath of
 * calibration share its error too: agreement is then no proof
 * Source: GUM (JCGM 100).
 */
export function compareProbes(
  firstC: number,
  firstUncertaintyK: number,
  secondC: number,
  secondUncertaintyK: number,
): ProbeAgreement {
  const differenceK = secondC - firstC;
  const uncertaintyK = Math.hypot(firstUncertaintyK, secondUncertaintyK);
  const distance = Math.abs(differenceK);
  const verdict = distance <= 2 * uncertaintyK ? 'agree' : distance <= 3 * uncertaintyK ? 'doubtful' : 'disagree';
  return { verdict, differenceK, uncertaintyK };
}
