import type { Guidance, HazardWords } from './say';

/** Names of the alarms, for lists and buttons. */
export const enAlarmNames: Readonly<Record<string, string>> = {
  'vapour-leak': 'vapour in the room',
  'heat-not-stopping': 'heat does not stop',
  'boiler-over-pressure': 'boiler pressure too high',
  vacuum: 'vacuum in the still',
  'element-over-temperature': 'element too hot',
  'element-bare': 'element bare',
  'level-low': 'boiler level low',
  'dry-boil': 'dry boil',
  'boiler-over-temperature': 'boiler too hot',
  'vapour-over-temperature': 'vapour too hot',
  'coolant-not-on': 'coolant not on',
  'coolant-flow-lost': 'coolant lost',
  'product-hot': 'distillate hot',
  'receiver-closed': 'open receiver found closed',
  'receiver-stuck': 'receiver stuck',
  'receiver-overflow': 'receiver full',
  'scan-stopped': 'program stood still',
  blind: 'nothing heard of the still',
  'heat-not-coming': 'heat does not come',
  'wrong-charge': 'too little in the boiler',
  'charge-spent': 'charge spent',
  'energy-spent': 'charge boiled away by its heat',
  'boiler-above-bubble': 'boiler hotter than its charge can boil',
  'boiler-rising-fast': 'boiler climbs too fast',
  'boiler-rises-vapour-falls': 'boiler climbs, vapour falls',
  'vapour-failing': 'vapour fails',
  'dry-boil-signs': 'several signs of a dry boil',
  'no-drip': 'boils but nothing comes',
  'no-vapour': 'boils but no vapour at the head',
  'protection-lost': 'protection lost',
  'nobody-there': 'nobody there',
  scorching: 'scorching',
  puking: 'liquid carried over',
  'boiler-pressure-high': 'boiler pressure rising',
  'product-warm': 'distillate warm',
  'coolant-missing': 'coolant not running yet',
  'probes-swapped': 'probes swapped',
  'probes-impossible': 'probes cannot both be right',
  'probes-disagree': 'probes disagree',
  'boiler-unlikely': 'boiler temperature unlikely',
  'probe-power-on': 'probe gives its start value',
  'probe-jumped': 'probe jumped',
  'probe-stuck': 'probe stuck',
  'probe-lost': 'probe lost',
  'drive-mismatch': 'drive does not do as told',
  'heat-mismatch': 'heat not as told',
  'receiver-leaking': 'closed receiver fills',
  'receiver-nearly-full': 'receiver nearly full',
  'charge-strong': 'charge strong',
  'charge-running-low': 'charge running low',
  'heat-up-slow': 'heats up slowly',
  'phase-too-long': 'phase too long',
  'run-too-long': 'run too long',
  'attendance-due': 'answer at the still',
  'off-profile': 'off the run it follows',
  'air-pressure-sea-level': 'air pressure reduced to sea level',
  'air-pressure-lost': 'air pressure lost',
  'scan-late': 'scans come late',
  'store-failing': 'journal cannot be written',
  'clock-jumped': 'clock jumped',
  'disk-nearly-full': 'disk nearly full',
  'record-set-aside': 'record set aside',
  'link-silent': 'broker silent',
  'feed-flooding': 'too many messages',
};

/** What an alarm says, with its numbers. */
export const enAlarmSentences: Readonly<Record<string, string>> = {
  'alarm.none': 'not so',
  'alarm.vapour-leak': '{point} reads {lelPercent} of the lower explosive limit, limit {limitPercent}',
  'alarm.heat-not-stopping': '{drive} draws {powerW}, {sinceS} after it was told off',
  'alarm.heat-not-stopping-reported': '{drive} says it is on, {sinceS} after it was told off',
  'alarm.heat-not-stopping-boiler': 'boiler warmed by {riseK} in {overS}, {sinceS} after {drive} was told off',
  'alarm.heat-not-stopping-vapour': 'vapour still {vapourC}, {sinceS} after {drive} was told off',
  'alarm.boiler-over-pressure': 'boiler {gaugeHPa} above the air, limit {limitHPa}',
  'alarm.boiler-pressure-high': 'boiler {gaugeHPa} above the air, half of what it may stand is {limitHPa}',
  'alarm.vacuum': 'boiler {underHPa} below the air, limit {limitHPa}',
  'alarm.element-over-temperature': 'element {point} at {tempC}, soon {soonC}; limit {limitC}',
  'alarm.element-bare': 'element {tempC}, {overK} above its liquid ({boilerC}); limit {limitK}',
  'alarm.level-low': '{leftL} in the boiler by its level, {heelL} must stay',
  'alarm.dry-boil': 'boiler {boilerC}, hotter than any liquid in it can boil ({limitC} at {pressureHPa})',
  'alarm.vapour-over-temperature': 'vapour probe {point} at {tempC}, limit {limitC}',
  'alarm.boiler-over-temperature': 'boiler probe {point} at {tempC}, limit {limitC}',
  'alarm.coolant-not-on': '{drive} says it is off although it was told on',
  'alarm.coolant-flow-lost': 'coolant {flowLPerH}, at least {minLPerH} are needed',
  'alarm.coolant-missing': 'coolant {flowLPerH}, at least {minLPerH} will be needed when vapour comes',
  'alarm.product-hot': 'distillate {tempC}, limit {limitC}',
  'alarm.product-warm': 'distillate {tempC}, warm from {limitC}',
  'alarm.receiver-closed': '{drive} says that receiver {receiver} is closed',
  'alarm.receiver-stuck': 'a receiver did not follow its switch',
  'alarm.receiver-overflow': '{volumeL} of {capacityL} in {receiver}, and {runOnL} come after the heat is off',
  'alarm.receiver-nearly-full': '{volumeL} of {capacityL} in {receiver}, filling at {rateLPerH}',
  'alarm.receiver-leaking': 'closed receiver {receiver} gained {gainedL}, limit {limitL}',
  'alarm.scan-stopped': 'nothing was watched for {lateS}; after {limitS} the heat is off',
  'alarm.scan-late': 'a scan came {lateS} after the one before',
  'alarm.blind': 'no reading of any point for {sinceS}',
  'alarm.heat-not-coming': '{drive} was told on, and no heat comes (rated {ratedW})',
  'alarm.heat-mismatch': '{drive} draws {powerW}, told {toldW}',
  'alarm.wrong-charge': 'boiler warms by {riseKPerMin}: likely {likelyL} in it, stated {chargeL}',
  'alarm.charge-stays-cold': 'the heat should have warmed the boiler by {shouldK} in {overS}; it warmed by {riseK}',
  'alarm.charge-spent': '{leftL} left of the charge after {collectedL}, {heelL} must stay',
  'alarm.energy-spent': 'the heat can have boiled off {boiledL}, the charge gives {limitL}; {collectedL} were counted',
  'alarm.boiler-above-bubble': 'boiler {boilerC}; what should be left boils at {bubbleC}, limit {limitC}',
  'alarm.boiler-rising-fast': 'boiler rose by {riseK} in {overS} while distilling, limit {limitK}',
  'alarm.boiler-rises-vapour-falls': 'boiler rose by {riseK} and vapour fell by {fallK} in {overS}',
  'alarm.vapour-failing': 'vapour fell by {fallK} in {overS} to {vapourC} under steady heat',
  'alarm.vapour-gone': 'vapour {vapourC} although the heat is on for {sinceS}',
  'alarm.dry-boil-signs': '{signs} signs at once: {because}',
  'alarm.sign-skin': 'element hot',
  'alarm.sign-level': 'level near the heel',
  'alarm.sign-left': 'little left of the charge',
  'alarm.sign-boiler': 'boiler hotter than it should boil',
  'alarm.sign-movement': 'boiler climbing',
  'alarm.no-drip': 'nothing has come over for {sinceS}; the heat should have brought {expectedL}',
  'alarm.no-vapour': 'boiler {boilerC}, at its boiling point ({bubbleC}) for {sinceS}; vapour only {vapourC}',
  'alarm.protection-lost': 'no reading to trust from {point} for {sinceS}, allowed {graceS}',
  'alarm.nobody-there': 'nobody has answered at the still for {sinceS}, allowed {limitS}',
  'alarm.attendance-due': 'nobody has answered at the still for {sinceS}; heat off in {leftS}',
  'alarm.scorching': 'element {tempC}, scorches from {limitC}',
  'alarm.puking': 'vapour leapt by {jumpK}, limit {limitK}',
  'alarm.puking-parrot': 'parrot fell by {fellVolPercent} in {overS}',
  'alarm.probes-swapped': 'vapour {vapourC} and boiler {boilerC} stand the wrong way round',
  'alarm.probes-impossible': 'vapour {vapourC} cannot be hotter than the boiler, {boilerC}',
  'alarm.probes-impossible-boiler':
    'boiler {boilerC} cannot give vapour of {vapourC}: nothing here boils below {lowestC}',
  'alarm.probes-disagree': 'probes of kind {kind} are {apartK} apart, limit {limitK}',
  'alarm.boiler-unlikely': 'boiler {boilerC}; what should be left boils between {lowC} and {highC}',
  'alarm.probe-power-on': '{point} leapt to exactly 85 °C and stays there for {sinceS}',
  'alarm.probe-jumped': '{point} jumped by {jumpK} to {tempC}',
  'alarm.probe-stuck': '{point} has read exactly {tempC} for {sinceS} while it should have moved',
  'alarm.probe-lost': 'probe {point} lost: {fault}',
  'alarm.drive-mismatch': '{drive} was told {told} and reports {reported}',
  'alarm.charge-strong': 'charge stated as {chargeVolPercent}, confirm above {limitVolPercent}',
  'alarm.charge-boils-low': 'boils at {boilerC}, the strongest charge allowed at {lowestC}',
  'alarm.charge-running-low': '{leftL} left of the charge, {heelL} must stay',
  'alarm.heat-up-slow': 'boiler rose by {riseK} in {overS}; its heat should have made {shouldK}',
  'alarm.phase-too-long': '{phase} lasts {inPhaseS}, expected at most {limitS}',
  'alarm.run-too-long': 'run lasts {sinceS}, expected at most {limitS}',
  'alarm.off-profile': 'vapour {isC} at {sharePercent} come over; it was {wasC} in the run this follows',
  'alarm.air-pressure-sea-level': '{point} gives {airPressureHPa}, too high for {altitudeM}: reduced to sea level',
  'alarm.air-pressure-lost': 'barometer {point} lost: {fault}; cuts go by {source}',
  'coverage.bare-element-unseen':
    'nothing here sees a bare element: it gains about {gainK} a second and is at {limitC} in {inS}; only a wired cut-out protects',
  'coverage.bare-element-late':
    'a bare element gains about {gainK} a second and is at {limitC} in {inS}; the quickest detector here needs {quickestS}: only a wired cut-out protects in time',
  'coverage.no-element': 'no element to be bared; an empty boiler is still harmed by its fire or jacket',
  'coverage.heat-unwatched':
    'nothing tells what the heat really does but the boiler, minutes later; a point of kind heat-power tells it within seconds',
  'coverage.no-contactor': 'no second contactor: heat that will not stop must be switched off by hand',
  'coverage.no-switch-off': '{drive} does not switch itself off: if this computer or the link dies, the heat stays on',
  'coverage.switches-itself-off': '{drive} switches itself off {deadManS} after the last command, as stated here',
  'coverage.coolant-fails-on': '{drive} runs on without power',
  'coverage.coolant-fails-off': '{drive} stops without power: what still boils is not condensed',
  'coverage.coolant-fails-stay': '{drive} stays as it is without power',
  'coverage.valve-fails-open': '{drive} opens without power',
  'coverage.valve-fails-closed': '{drive} closes without power',
  'coverage.valve-fails-stay': '{drive} stays as it is without power',
  'coverage.no-attendance': 'no attendance is agreed: nothing notices that nobody is there',
  'coverage.overflow-computed': 'volumes are only counted, not measured: say when a receiver is emptied',
  'coverage.unproven': '{drive} reports nothing: its position is taken for granted after its travel time',
  'coverage.puking-hidden':
    'liquid carried over hardly warms the head of a pot: this may stay unseen; a point of kind parrot-strength shows it',
  'coverage.lies-slowly':
    'a dead or jumping probe shows within seconds; one that sticks or drifts only when something else contradicts it, after ten minutes to an hour',
  'coverage.plateau-hides-a-stuck-probe': 'at a column’s plateau a stuck probe cannot be told from a steady one',
  'alarm.normal': 'nothing is wrong',
  'alarm.store-failing': 'the journal cannot be written: {why}',
  'alarm.clock-jumped': 'the clock jumped by {byS}; the run goes by its own time',
  'alarm.disk-nearly-full': '{freePercent} of the disk is free',
  'alarm.record-set-aside': 'the record was damaged and set aside as {file}; a new one was begun: {rescued}',
  'alarm.link-silent': 'the broker was not heard for {silentS}',
  'alarm.feed-flooding': '{point} sends more than {readings} readings a second',
};

/** What an alarm means, and what to do now. */
export const enGuidance: Readonly<Record<string, Guidance>> = {
  'vapour-leak': {
    means:
      'There is ethanol vapour in the room. It is heavier than air, gathers low down and burns from 3.1 % in the air.',
    now: 'Everybody out. Switch nothing in the room, neither on nor off; no telephone, no lamp. Cut the heat from outside and leave the coolant running. Let the room air, and come back with a gas detector. Find the leak cold.',
  },
  'heat-not-stopping': {
    means: 'The heat was told off and still goes in: a welded relay, a valve that hangs, a controller set by hand.',
    now: 'Pull the main switch or close the fuel by hand now. Keep the coolant running. Do not use the still before the relay is replaced: it will weld again.',
  },
  'boiler-over-pressure': {
    means: 'The vapour path is blocked, or more is boiled than it can take. The relief valve is the last thing left.',
    now: 'Stay away from the head and from the relief outlet. Heat is off; let it cool with the coolant on. Open nothing under pressure. Find what blocks: solids in the arm, a kinked hose, a frozen condenser.',
  },
  vacuum: {
    means: 'The still draws in air it does not get. A closed still that cools is crushed.',
    now: 'Open an air path: a receiver valve, the vent, the filling hole if it is cool enough. Pour no cold water into or over it. Check the vacuum breaker.',
  },
  'element-over-temperature': {
    means: 'The element is at its limit. Bare, it gains about 5 K a second, and vapour can catch fire on it.',
    now: 'Heat is off. Check the level through the glass, not by opening a hot boiler. Put no cold liquid on a hot element. Clean it before the next run.',
  },
  'element-bare': {
    means: 'The element is far hotter than the liquid it should be in: it is bare, or thickly crusted.',
    now: 'Heat is off. Check the level; let the element cool before you fill. Look for a leak at the drain.',
  },
  'level-low': {
    means: 'Only the liquid that must cover the element is left.',
    now: 'Heat is off. If the run should not be over, look for a leak or an open drain. Otherwise stop the run.',
  },
  'dry-boil': {
    means: 'The boiler is hotter than any liquid in it can be: its probe is in vapour, or under pressure.',
    now: 'Heat is off. Check level and pressure. This detector is slow; do not count on it in place of a wired cut-out.',
  },
  'boiler-over-temperature': {
    means: 'The boiler is above what it is rated for.',
    now: 'Heat is off. Check level, pressure and probe before you acknowledge.',
  },
  'vapour-over-temperature': {
    means: 'The vapour at the head is hotter than water boils: there is pressure, or the probe is wrong.',
    now: 'Heat is off. Check the vapour path and the probe before you acknowledge.',
  },
  'coolant-not-on': {
    means: 'The coolant valve or pump says it is off. Vapour will come out of the condenser.',
    now: 'Heat is off. Open the coolant by hand if you can do so without entering vapour. Ventilate. No flame, no switch near the spout.',
  },
  'coolant-flow-lost': {
    means: 'Too little coolant to condense what boils. What still comes may leave as vapour.',
    now: 'Heat is off and stays off when the coolant comes back. Ventilate, keep flames and switches away from the spout. Restore the coolant before anything else, then acknowledge and resume.',
  },
  'product-hot': {
    means: 'The distillate is so warm that vapour leaves with it.',
    now: 'Heat is off. Ventilate and keep away from the spout. Check coolant flow and scale in the condenser.',
  },
  'receiver-closed': {
    means: 'The receiver that should be open says it is closed. Another was opened to keep a path.',
    now: 'Heat is off. Look which valve is really open. Put things right by hand before you resume.',
  },
  'receiver-stuck': {
    means: 'A receiver valve did not go where it was sent. The one that is proven open stays open.',
    now: 'Heat is off. Look at the valve, its air or its supply. Acknowledge, then resume; the switch is tried again.',
  },
  'receiver-overflow': {
    means: 'What still comes over after heat off only just fits.',
    now: 'Heat is off. Put another receiver under the spout or empty this one, and say that it is emptied. Spilt spirit: no switches, no flames, ventilate, soak it up.',
  },
  'scan-stopped': {
    means: 'This program stood still for longer than the heat may go unwatched.',
    now: 'The run is held. Look at the still, then at the computer: memory, disk, processor. Acknowledge and resume if all is well.',
  },
  blind: {
    means:
      'Nothing is heard of the still. Commands may not arrive either; only the device that switches itself off covers that.',
    now: 'Go to the still and see that the heat is off; switch it off by hand if it is not. Then look at network, broker and power of the sensors.',
  },
  'heat-not-coming': {
    means: 'Heat was told on and none comes: its own switch-off, a cut-out, a breaker, a burner that went out.',
    now: 'Find out which before you resume. If a cut-out tripped, it had a reason: check the level first. A burner is lit by hand, by its own control.',
  },
  'wrong-charge': {
    means:
      'The boiler warms faster than the stated charge can, or not at all although heat goes in. There is too little in it, or the probe hangs in the air.',
    now: 'Heat is off. Check the level. Fill the boiler, or correct the charge and start again.',
  },
  'charge-spent': {
    means: 'As much has come over as the charge can give and still cover the element.',
    now: 'Heat is off. Stop the run. If the count is wrong, check the meter before the next.',
  },
  'energy-spent': {
    means: 'So much heat has gone in that the charge must be boiled away, though less was counted.',
    now: 'Heat is off. Look for a leak of vapour or distillate and for a meter that sticks. Check the level before you go on.',
  },
  'boiler-above-bubble': {
    means:
      'The boiler is hotter than this charge can be: it is weaker than stated, the path is blocked, little is left, or the probe is wrong.',
    now: 'Heat is off. Check level and vapour path first, then the strength of the charge, then the probe.',
  },
  'boiler-rising-fast': {
    means: 'A boiling liquid does not warm like this. The probe hangs in vapour that nothing cools.',
    now: 'Heat is off. Check the level.',
  },
  'boiler-rises-vapour-falls': {
    means: 'The boiler warms while the vapour fails: there is little left that makes vapour.',
    now: 'Heat is off. Check the level, and look for a leak above the boiler.',
  },
  'vapour-failing': {
    means: 'The heat is on, but the vapour fails: the boiler is empty, or the vapour goes elsewhere.',
    now: 'Heat is off. Mind vapour in the room. Check the level, then joints and gaskets.',
  },
  'dry-boil-signs': {
    means: 'Several signs point to a dry boil, none of them certain by itself.',
    now: 'Heat is off. Check the level before anything else.',
  },
  'no-drip': {
    means: 'The still boils, and nothing arrives in the receivers. The vapour is dammed up or goes into the room.',
    now: 'Heat is off. Mind vapour in the room. Check spout, hoses and valves for a blockage, then the joints.',
  },
  'no-vapour': {
    means:
      'The boiler boils, and no vapour reaches the head. It escapes below, the path is shut, or the charge is weaker than stated.',
    now: 'Heat is off. Mind vapour in the room. Check head, gaskets and path, then probe and charge.',
  },
  'protection-lost': {
    means: 'A probe that protects the still is gone. It is not distilled blind.',
    now: 'Heat is off. Bring the probe back, or take it out of the still’s description on purpose. Then acknowledge and resume.',
  },
  'nobody-there': {
    means: 'Nobody answered in the time that was agreed. A hot still is not left alone.',
    now: 'Heat is off. Come back to the still, look at it, acknowledge and resume there.',
  },
  scorching: {
    means: 'Something burns onto the element or the base.',
    now: 'Heat is halved while this lasts, where it can be set. Stir if you can, turn it down where you have to. Foam and solids: strain the next charge.',
  },
  puking: {
    means: 'Liquid is carried over with the vapour: too full, foaming, or heated too hard.',
    now: 'Heat is halved for a while, and hearts are diverted. Taste and look before you take hearts again: decline the cut to go back to hearts, or make it.',
  },
  'boiler-pressure-high': {
    means: 'The path resists: it clogs, or a column floods.',
    now: 'Heat is halved while this lasts, where it can be set. If the pressure does not fall, hold the run and look for what blocks.',
  },
  'product-warm': {
    means: 'The distillate is warmer than it should be; at 40 °C the heat goes off.',
    now: 'Open the coolant further, or reduce the heat.',
  },
  'coolant-missing': {
    means: 'The heat is on and no coolant runs yet.',
    now: 'Open the coolant before vapour comes.',
  },
  'probes-swapped': {
    means: 'The vapour probe shows what the boiler should, and the other way round.',
    now: 'Cuts are suspended. Hold, swap the plugs or the names, and resume.',
  },
  'probes-impossible': {
    means: 'Boiler and vapour cannot both be right at this air pressure.',
    now: 'Cuts are suspended. Check both probes in their wells, and the air pressure. Make the cuts by order until it is settled.',
  },
  'probes-disagree': {
    means: 'Two probes for the same place drift apart. Nothing tells which of them is right.',
    now: 'Cuts by them are suspended. Compare both with a third, or in ice water after the run.',
  },
  'boiler-unlikely': {
    means:
      'The boiler does not fit what should be left in it: the probe drifts, the charge was of another strength, or the path clogs.',
    now: 'Compare with a second thermometer. Check the stated strength of the charge.',
  },
  'probe-power-on': {
    means:
      'The thermometer gives the value it has when it has just been powered and has measured nothing. It may be real.',
    now: 'Cuts by it are suspended. Check its supply and wiring if it does not move within seconds.',
  },
  'probe-jumped': {
    means: 'The probe leapt further than its place can change.',
    now: 'Cuts by it are suspended for half a minute. Check plug and cable if it comes again.',
  },
  'probe-stuck': {
    means: 'The probe repeats one value while it must have moved.',
    now: 'Cuts by it are suspended until it moves. Restart its converter or replace the probe.',
  },
  'probe-lost': {
    means: 'The probe is not heard, or gives nothing that can be a reading.',
    now: 'Check cable, supply and converter. If the run needs it, it is held soon.',
  },
  'drive-mismatch': {
    means: 'A valve, pump or contactor reports something else than it was told.',
    now: 'Look where it really stands. Move it by hand if that is safe.',
  },
  'heat-mismatch': {
    means: 'More or less power is drawn than was told.',
    now: 'Check elements, phases and the controller. Volumes reckoned by the heat are wrong meanwhile.',
  },
  'receiver-leaking': {
    means: 'A closed receiver fills: its valve leaks or stands open.',
    now: 'Check what ran into it before you blend. Clean the valve’s seat.',
  },
  'receiver-nearly-full': {
    means: 'Ten minutes, or a tenth of its room, are left.',
    now: 'Empty it or change it, and say that it is emptied.',
  },
  'charge-strong': {
    means: 'The charge is stronger than usual. Above 40 % vol it can burn at room temperature.',
    now: 'Confirm by acknowledging only if this is meant; otherwise stop and dilute to 25 to 32 % vol.',
  },
  'charge-running-low': {
    means: 'Not much more can come over before only the heel is left.',
    now: 'Be ready to stop. The heat goes off by itself at the heel.',
  },
  'heat-up-slow': {
    means:
      'The heat does not show in the boiler: less power than stated, more charge, or a probe that hangs in the air.',
    now: 'Check power, charge and probe.',
  },
  'phase-too-long': {
    means: 'The phase lasts longer than the recipe expects.',
    now: 'Look, smell and taste; make the cut by order if it is due.',
  },
  'run-too-long': {
    means: 'The run lasts longer than a run on this still should.',
    now: 'See whether it still makes sense; stop it if not.',
  },
  'attendance-due': {
    means: 'Somebody must answer at the still from time to time while it is hot.',
    now: 'Go to the still, look at it, and answer there.',
  },
  'off-profile': {
    means: 'This run does not follow the one its recipe came from.',
    now: 'Trust nose and tongue more than the cut temperatures today. Compare charge, heat and reflux with that run.',
  },
  'air-pressure-sea-level': {
    means:
      'The barometer gives pressure reduced to sea level, as weather services do. At 1000 m that moves a cut by 3 K.',
    now: 'Use station pressure, or a barometer in the stillroom.',
  },
  'air-pressure-lost': {
    means: 'There is no fresh air pressure. Cuts go on by the last good value.',
    now: 'Bring the barometer back. When the weather changes by 10 hPa, a cut moves by 0.3 K.',
  },
  'scan-late': {
    means: 'The computer is too busy, and every protection is as late as its scans.',
    now: 'Close what else runs on it.',
  },
  'store-failing': {
    means: 'What is decided cannot be written down. Only commands to the safe side are given.',
    now: 'Free or replace the disk. The run is held.',
  },
  'clock-jumped': {
    means: 'The computer’s clock was set. The run goes by its own time and is not touched.',
    now: 'Nothing, unless the times in the journal matter to you.',
  },
  'disk-nearly-full': {
    means: 'Soon nothing more can be written down.',
    now: 'Free some space before the next run.',
  },
  'record-set-aside': {
    means:
      'The file of the record was damaged when the daemon started. It was kept under another name, and a new record begun.',
    now: 'Look at the still: what the record says of it may be old. Resume the run if it was taken over, else see it through by hand. Keep a copy of the damaged file.',
  },
  'link-silent': {
    means:
      'The link to the broker was gone for so long that the heater has switched itself off, or soon will. The run is held, so that heat does not come back with the link.',
    now: 'Find out why the link was lost: broker, network, power. Look at the still, then order resume.',
  },
  'feed-flooding': {
    means:
      'A point sends far more readings than anybody could use. What is too many is dropped, so that the rest is heard in time.',
    now: 'Find the sender that repeats itself; two devices on one topic look the same.',
  },
};

/** What can go wrong, and what no software covers. */
export const enHazards: Readonly<Record<string, HazardWords>> = {
  'bare-element': {
    name: 'bare element, dry boil',
    beside: 'a wired cut-out on the element: bare, it gains about 5 K a second',
  },
  'wrong-charge': {
    name: 'empty boiler or another charge than stated',
    beside: 'somebody who looks when it is filled',
  },
  scorching: { name: 'scorching', beside: 'a stirrer, or a strained charge' },
  'over-temperature': { name: 'boiler or vapour above its rating', beside: 'a wired high-limit cut-out' },
  'coolant-lost': {
    name: 'coolant lost',
    beside: 'a coolant interlock in hardware, for what still boils after heat off',
  },
  'blocked-path': { name: 'blocked vapour path', beside: 'a relief valve' },
  vacuum: { name: 'vacuum on cooling or rinsing', beside: 'a vacuum breaker' },
  'vapour-leak': { name: 'vapour in the room', beside: 'ventilation, and no source of ignition in the zone' },
  overflow: { name: 'receiver overflow', beside: 'a bund under the receivers' },
  'stuck-valve': { name: 'stuck valve', beside: 'a vent that no valve can close' },
  'heat-not-stopping': { name: 'heat that does not stop', beside: 'the main switch within reach of the door' },
  puking: { name: 'liquid carried over, foaming', beside: 'head space' },
  'lying-probe': { name: 'lying probe', beside: 'nothing, where probes share one well or one bus' },
  'link-lost': { name: 'link or computer lost', beside: 'the heat device’s own switch-off' },
  'power-cut': { name: 'power cut while hot', beside: 'fail positions, and coolant that runs by gravity' },
  'nobody-there': { name: 'nobody there', beside: 'a person' },
  'wrong-pressure': { name: 'air pressure wrong or lost', beside: 'a second barometer' },
  'off-course': { name: 'run off its course', beside: 'nose and tongue' },
};
