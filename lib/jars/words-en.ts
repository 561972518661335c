/** English of the reasons in lib/jars: sentences by code, and names of fixed words. */
export const jarSentences: Readonly<Record<string, string>> = {
  'jars.caution-clouding':
    'reduced to {bottlingVolPercent}: below about 42 % vol a spirit may cloud (common practice); try it in a glass first',
  'jars.caution-clouding-deep':
    'cut deep into the tails (last jar at {lastJarVolPercent}) and reduced to {bottlingVolPercent}: below about 42 % vol it is likely to cloud (common practice); try it in a glass first, or bottle stronger',
  'jars.caution-too-weak':
    'hearts of {strengthVolPercent} are no stronger than the {bottlingVolPercent} wanted in the bottle',
  'jars.ageing-deep':
    'last jar at {lastJarVolPercent}: heavier, oily; such a spirit usually needs years in oak to round out (common practice)',
  'jars.ageing-clean':
    'last jar at {lastJarVolPercent}: cut clean; ready to drink white after some weeks of rest, lighter in oak (common practice)',
  'jars.advice-smaller-jars':
    'near the {cut} cut ({variant}) a jar holds {jarSharePercent} of the alcohol; take jars of {wantedL} ({wantedSharePercent}) from {fromC} to {toC} (at reference pressure)',
  'jars.advice-smaller-jars-share':
    'near the {cut} cut ({variant}) a jar holds {jarSharePercent} of the alcohol; take jars of {wantedL} ({wantedSharePercent}) from {fromSharePercent} to {toSharePercent} come over',
  'jars.advice-wide-jars': 'jars {jars} hold more than {mostSharePercent} of the alcohol each: fill less into one',
  'jars.advice-more-jars': '{jars} jars are few: twenty to twenty-four show the run well',
  'jars.advice-collect-on':
    'the last jar ({jar}) is still in: collect on past the tails cut next time, or nobody knows where it lies',
  'jars.advice-decide': 'jar {jar} is not decided: taste it again beside its neighbours',
  'jars.advice-disagreement': 'jar {jar} is {verdict}, but not everybody agrees ({dissent}): taste it again, blind',
  'jars.advice-words': 'jar {jar} is in, though it was called {words}: taste it again',
  'jars.advice-measure-strength': 'measure strength and sample temperature of jars {jars}: their alcohol is estimated',
  'jars.caution-temperature-blunt':
    'the {cut} cut ({variant}) by temperature is sharp to {kelvinK}, which is {sharePercent} of the alcohol or {volumeL}; most of it comes from {cause}',
  'jars.caution-temperature-silent':
    'at the {cut} cut ({variant}) the temperature does not climb: it cannot tell one jar from the next',
  'jars.caution-methanol':
    'taking foreshots and heads away does not take methanol away: it distils all through the run',
  'jars.caution-not-safety':
    'a recipe repeats cuts; it makes no still safe. High-limit cut-out, open vapour path, coolant interlock and a person on site come first',
  'jars.caution-prediction': 'minor compounds are predictions of a model, not an analysis of this spirit',
  'jars.caution-column': 'for a column charge strength and heating are not counted in the sharpness of a temperature',
  'jars.caution-assumed-reflux':
    'this run does not behave like a simple pot (apart by {distanceK}): effects of charge and heating are usual ones, not its own',
  'jars.caution-heat-unknown':
    'the heat while collecting is not on the sheet, and the recipe runs at full heat: heat changes the reflux and with it every temperature',
  'jars.caution-heat-full':
    'the jars were filled at {heaterW}, but what the still gives at full power was not said, so the recipe runs at full heat: set the heat of its phases',
  'jars.caution-hold-up':
    'cuts are placed where the liquid passed the probe, {holdUpL} before the spout: the still must know the same hold-up',
  'jars.caution-strength-by-vapour':
    'alcohol counted by vapour temperature is off by {apartPercent} here: read a parrot, or calibrate the vapour probe, before cutting by share',
};

export const jarNames: Readonly<Record<string, string>> = {
  'for-oak': 'for oak',
  'in-for-oak': 'in only for oak',
  'probe-resolution': 'the step of the probe',
  'probe-calibration': 'the calibration of the probe',
  'air-pressure': 'the air pressure',
  'charge-strength': 'the strength of the charge',
  heating: 'the heating',
  'charge-volume': 'the volume of the charge',
  'volume-collected': 'the volume collected',
  'distillate-strength': 'the strength of the distillate',
};
