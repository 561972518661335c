/** English of the reasons in lib/compare, sentences by code. */
export const compareSentences: Readonly<Record<string, string>> = {
  'compare.alike': 'the run lies within the envelope and its fractions agree',
  'compare.off-vapour-above': 'vapour {byK} above profile at {sharePercent} come over',
  'compare.off-vapour-below': 'vapour {byK} below profile at {sharePercent} come over',
  'compare.off-boiler-above': 'boiler {byK} above profile at {sharePercent} come over',
  'compare.off-boiler-below': 'boiler {byK} below profile at {sharePercent} come over',
  'compare.off-strength-above': 'distillate {byVolPercent} stronger than profile at {sharePercent} come over',
  'compare.off-strength-below': 'distillate {byVolPercent} weaker than profile at {sharePercent} come over',
  'compare.off-rate-above': 'take-off {byPercent} faster than profile at {sharePercent} come over',
  'compare.off-rate-below': 'take-off {byPercent} slower than profile at {sharePercent} come over',
  'compare.left-vapour-above':
    'vapour above the envelope from {fromSharePercent} to {toSharePercent} come over, by {byK} at {worstAtPercent}',
  'compare.left-vapour-below':
    'vapour below the envelope from {fromSharePercent} to {toSharePercent} come over, by {byK} at {worstAtPercent}',
  'compare.left-boiler-above':
    'boiler above the envelope from {fromSharePercent} to {toSharePercent} come over, by {byK} at {worstAtPercent}',
  'compare.left-boiler-below':
    'boiler below the envelope from {fromSharePercent} to {toSharePercent} come over, by {byK} at {worstAtPercent}',
  'compare.left-strength-above':
    'distillate stronger than the envelope from {fromSharePercent} to {toSharePercent} come over, by {byVolPercent} at {worstAtPercent}',
  'compare.left-strength-below':
    'distillate weaker than the envelope from {fromSharePercent} to {toSharePercent} come over, by {byVolPercent} at {worstAtPercent}',
  'compare.left-rate-above':
    'take-off faster than the envelope from {fromSharePercent} to {toSharePercent} come over, by {byPercent} at {worstAtPercent}',
  'compare.left-rate-below':
    'take-off slower than the envelope from {fromSharePercent} to {toSharePercent} come over, by {byPercent} at {worstAtPercent}',
  'compare.fraction-missing': '{fraction}: the reference run had them, this one has not',
  'compare.fraction-new': '{fraction}: the reference run had none',
  'compare.fraction-more': '{fraction}: {byPercent} more volume per litre of alcohol charged',
  'compare.fraction-less': '{fraction}: {byPercent} less volume per litre of alcohol charged',
  'compare.fraction-stronger': '{fraction}: {byVolPercent} stronger',
  'compare.fraction-weaker': '{fraction}: {byVolPercent} weaker',
  'compare.known-charge-strength-more':
    'the charge was {byVolPercent} stronger, as the record says; its effect is taken away below',
  'compare.known-charge-strength-less':
    'the charge was {byVolPercent} weaker, as the record says; its effect is taken away below',
  'compare.known-heating-more': 'heat was {byPercent} more, as the record says; its effect is taken away below',
  'compare.known-heating-less': 'heat was {byPercent} less, as the record says; its effect is taken away below',
  'compare.cause-charge-strength-more': 'likely: a charge {byVolPercent} stronger (explains {explainsPercent})',
  'compare.cause-charge-strength-less': 'likely: a charge {byVolPercent} weaker (explains {explainsPercent})',
  'compare.cause-charge-misjudged-more':
    'likely: the charge was {byVolPercent} stronger than written down, so shares are counted too high (explains {explainsPercent})',
  'compare.cause-charge-misjudged-less':
    'likely: the charge was {byVolPercent} weaker than written down, so shares are counted too low (explains {explainsPercent})',
  'compare.cause-heating-more': 'likely: {byPercent} more heat into the vapour (explains {explainsPercent})',
  'compare.cause-heating-less': 'likely: {byPercent} less heat into the vapour (explains {explainsPercent})',
  'compare.cause-reflux-more':
    'likely: more reflux in the head, by {byPercent} of the vapour: colder room, draught, more coolant on the head (explains {explainsPercent})',
  'compare.cause-reflux-less':
    'likely: less reflux in the head, by {byPercent} of the vapour: warmer room, lagging, less coolant on the head (explains {explainsPercent})',
  'compare.cause-vapour-probe-more':
    'likely: the vapour probe reads {byK} higher than it did (explains {explainsPercent})',
  'compare.cause-vapour-probe-less':
    'likely: the vapour probe reads {byK} lower than it did (explains {explainsPercent})',
  'compare.cause-boiler-probe-more':
    'likely: the boiler probe reads {byK} higher than it did (explains {explainsPercent})',
  'compare.cause-boiler-probe-less':
    'likely: the boiler probe reads {byK} lower than it did (explains {explainsPercent})',
  'compare.cause-air-pressure-more': 'likely: the barometer reads {byHPa} too high (explains {explainsPercent})',
  'compare.cause-air-pressure-less': 'likely: the barometer reads {byHPa} too low (explains {explainsPercent})',
  'compare.cause-share-counted-more':
    'likely: {byPercent} more alcohol counted than came over: volume meter, strength, or a charge larger than written down (explains {explainsPercent})',
  'compare.cause-share-counted-less':
    'likely: {byPercent} less alcohol counted than came over: volume meter, strength, or a charge smaller than written down (explains {explainsPercent})',
  'compare.cause-light-heads-more':
    'likely: more light heads at the front, {byK} at the first drop: more feints or another wash (explains {explainsPercent})',
  'compare.cause-light-heads-less':
    'likely: fewer light heads at the front, {byK} at the first drop: fewer feints or another wash (explains {explainsPercent})',
  'compare.ready-charge-strength-same': 'charge strength {plannedVolPercent}: as then',
  'compare.ready-charge-strength-different':
    'charge strength {plannedVolPercent} instead of {referenceVolPercent}: bring it within {toleranceVolPercent}, or cut by share',
  'compare.ready-charge-strength-unknown': 'charge strength not known: measure it',
  'compare.ready-charge-volume-same': 'charge {plannedL}: as then',
  'compare.ready-charge-volume-different': 'charge {plannedL} instead of {referenceL} ({apartPercent})',
  'compare.ready-charge-volume-unknown': 'volume of the charge not known: measure it',
  'compare.ready-charge-volume-not-comparable':
    'another still: its charge is another, and all is compared per litre of it',
  'compare.ready-heat-same': 'heat {plannedW}: as then',
  'compare.ready-heat-different': 'heat {plannedW} where {referenceW} would repeat it ({apartPercent})',
  'compare.ready-heat-unknown': 'heat not known: write it down',
  'compare.ready-take-off-same': 'take-off {plannedLPerH}: as then',
  'compare.ready-take-off-different': 'take-off {plannedLPerH} where {referenceLPerH} would repeat it ({apartPercent})',
  'compare.ready-take-off-unknown': 'take-off not known: write it down',
  'compare.ready-feints-same': 'feints {plannedPercent} of the alcohol: as then',
  'compare.ready-feints-different':
    'feints {plannedPercent} of the alcohol instead of {referencePercent}: heads and tails will be larger or smaller',
  'compare.ready-feints-unknown': 'share of feints in the charge not known: write it down',
  'compare.ready-coolant-flow-same': 'coolant {plannedLPerH}: as then',
  'compare.ready-coolant-flow-different': 'coolant {plannedLPerH} where {referenceLPerH} would repeat it',
  'compare.ready-coolant-flow-unknown': 'coolant flow not known',
  'compare.ready-coolant-temp-same': 'coolant {plannedC}: as then',
  'compare.ready-coolant-temp-different': 'coolant {plannedC} instead of {referenceC}',
  'compare.ready-coolant-temp-unknown': 'coolant temperature not known',
  'compare.ready-probe-well-same': 'vapour probe in the same well ({planned})',
  'compare.ready-probe-well-different':
    'vapour probe in {planned} instead of {reference}: temperatures are not comparable',
  'compare.ready-probe-well-unknown': 'place of the vapour probe not written down',
  'compare.ready-probe-calibration-same': 'vapour probe calibrated as then',
  'compare.ready-probe-calibration-different': 'vapour probe calibrated anew ({planned} instead of {reference})',
  'compare.ready-probe-calibration-unknown': 'calibration of the vapour probe not known: calibrate it',
  'compare.ready-foreshots-same': 'foreshots {plannedL}: as then',
  'compare.ready-foreshots-different': 'foreshots {plannedL} where {referenceL} would repeat it',
  'compare.ready-foreshots-unknown': 'volume of foreshots not known: write it down',
  'compare.carries-share': "carries over: shares of the charge's alcohol, on any still and charge that is measured",
  'compare.carries-temperature':
    'carries over: temperatures at {referenceHPa}, moved to the air pressure of the day, as far as reflux and probe are alike',
  'compare.carries-strength': 'carries over: strength of the distillate',
  'compare.carries-volume': 'carries over after scaling: volumes, with the alcohol charged',
  'compare.loses-reflux':
    'does not carry over: the reflux of head and arm; {to} may give another vapour than {from} at the same share. Run it by share first and compare',
  'compare.loses-probe-place':
    'does not carry over: the place of the vapour probe; in another spot of the head it reads otherwise',
  'compare.loses-heat-unknown':
    'not known: heat per litre of charge; it changes the reflux and with it every temperature',
  'compare.loses-heat-more':
    'does not carry over: {byPercent} more heat per litre of charge; {wantedW} would repeat it',
  'compare.loses-heat-less':
    'does not carry over: {byPercent} less heat per litre of charge; {wantedW} would repeat it',
  'compare.loses-charge-stronger':
    'the charge is {byVolPercent} stronger: the vapour is colder at the same share, so temperatures come later',
  'compare.loses-charge-weaker':
    'the charge is {byVolPercent} weaker: the vapour is hotter at the same share, so temperatures come earlier',
  'compare.loses-probe-unknown':
    'not known: how right the vapour probe there is; calibrate it before cutting by temperature',
  'compare.loses-probe-blunt':
    'the vapour probe there is right within {probeK} only: calibrate it before cutting heads by temperature',
  'compare.loses-hold-up':
    'the still there states no hold-up, but the recipe was placed for {holdUpL} between probe and spout: measure and state it',
};
