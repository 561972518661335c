import type { Guidance, HazardWords } from './say';

/** Namen der Alarme, für Listen und Knöpfe. */
export const deAlarmNames: Readonly<Record<string, string>> = {
  'vapour-leak': 'Alkoholdampf im Raum',
  'heat-not-stopping': 'Heizung geht nicht aus',
  'boiler-over-pressure': 'Druck in der Blase zu hoch',
  vacuum: 'Unterdruck in der Blase',
  'element-over-temperature': 'Heizelement zu heiß',
  'element-bare': 'Heizelement liegt frei',
  'level-low': 'Füllstand zu tief',
  'dry-boil': 'Trockenlauf',
  'boiler-over-temperature': 'Blase zu heiß',
  'vapour-over-temperature': 'Dampf zu heiß',
  'coolant-not-on': 'Kühlwasser nicht an',
  'coolant-flow-lost': 'Kühlwasser ausgefallen',
  'product-hot': 'Destillat heiß',
  'receiver-closed': 'offene Vorlage ist zu',
  'receiver-stuck': 'Vorlage klemmt',
  'receiver-overflow': 'Vorlage voll',
  'scan-stopped': 'Programm stand still',
  blind: 'nichts mehr zu hören vom Brenngerät',
  'heat-not-coming': 'Heizung kommt nicht',
  'wrong-charge': 'zu wenig in der Blase',
  'charge-spent': 'Füllung verbraucht',
  'energy-spent': 'Füllung nach der Heizarbeit verkocht',
  'boiler-above-bubble': 'Blase heißer, als ihre Füllung sieden kann',
  'boiler-rising-fast': 'Blase steigt zu schnell',
  'boiler-rises-vapour-falls': 'Blase steigt, Dampf fällt',
  'vapour-failing': 'Dampf bleibt aus',
  'dry-boil-signs': 'mehrere Anzeichen für Trockenlauf',
  'no-drip': 'siedet, aber es läuft nichts',
  'no-vapour': 'siedet, aber kein Dampf am Helm',
  'protection-lost': 'Schutz ausgefallen',
  'nobody-there': 'niemand da',
  scorching: 'Anbrennen',
  puking: 'Flüssigkeit übergerissen',
  'boiler-pressure-high': 'Druck in der Blase steigt',
  'product-warm': 'Destillat warm',
  'coolant-missing': 'Kühlwasser läuft noch nicht',
  'probes-swapped': 'Fühler vertauscht',
  'probes-impossible': 'Fühler können nicht beide stimmen',
  'probes-disagree': 'Fühler widersprechen sich',
  'boiler-unlikely': 'Blasentemperatur unwahrscheinlich',
  'probe-power-on': 'Fühler gibt seinen Einschaltwert',
  'probe-jumped': 'Fühler gesprungen',
  'probe-stuck': 'Fühler steht',
  'probe-lost': 'Fühler verloren',
  'drive-mismatch': 'Antrieb tut nicht, was er soll',
  'heat-mismatch': 'Heizleistung nicht wie befohlen',
  'receiver-leaking': 'geschlossene Vorlage füllt sich',
  'receiver-nearly-full': 'Vorlage fast voll',
  'charge-strong': 'Füllung stark',
  'charge-running-low': 'Füllung geht zur Neige',
  'heat-up-slow': 'heizt langsam auf',
  'phase-too-long': 'Abschnitt zu lang',
  'run-too-long': 'Brand zu lang',
  'attendance-due': 'am Brenngerät melden',
  'off-profile': 'abseits des Vorbilds',
  'air-pressure-sea-level': 'Luftdruck auf Meereshöhe umgerechnet',
  'air-pressure-lost': 'Luftdruck verloren',
  'scan-late': 'Durchläufe kommen spät',
  'store-failing': 'Journal nicht zu schreiben',
  'clock-jumped': 'Uhr gesprungen',
  'disk-nearly-full': 'Datenträger fast voll',
  'record-set-aside': 'Journal beiseitegelegt',
  'link-silent': 'Broker stumm',
  'feed-flooding': 'zu viele Nachrichten',
};

/** Was ein Alarm sagt, mit seinen Zahlen. */
export const deAlarmSentences: Readonly<Record<string, string>> = {
  'alarm.none': 'trifft nicht zu',
  'alarm.vapour-leak': '{point} zeigt {lelPercent} der unteren Explosionsgrenze, Grenze {limitPercent}',
  'alarm.heat-not-stopping': '{drive} zieht {powerW}, {sinceS} nach dem Befehl aus',
  'alarm.heat-not-stopping-reported': '{drive} meldet an, {sinceS} nach dem Befehl aus',
  'alarm.heat-not-stopping-boiler': 'Blase in {overS} um {riseK} wärmer, {sinceS} nachdem {drive} aus sein sollte',
  'alarm.heat-not-stopping-vapour': 'Dampf noch {vapourC}, {sinceS} nachdem {drive} aus sein sollte',
  'alarm.boiler-over-pressure': 'Blase {gaugeHPa} über dem Luftdruck, Grenze {limitHPa}',
  'alarm.boiler-pressure-high': 'Blase {gaugeHPa} über dem Luftdruck, die Hälfte des Zulässigen ist {limitHPa}',
  'alarm.vacuum': 'Blase {underHPa} unter dem Luftdruck, Grenze {limitHPa}',
  'alarm.element-over-temperature': 'Heizelement {point} bei {tempC}, bald {soonC}; Grenze {limitC}',
  'alarm.element-bare': 'Heizelement {tempC}, {overK} über seiner Flüssigkeit ({boilerC}); Grenze {limitK}',
  'alarm.level-low': '{leftL} in der Blase nach dem Füllstand, {heelL} müssen bleiben',
  'alarm.dry-boil': 'Blase {boilerC}, heißer als jede Flüssigkeit darin sieden kann ({limitC} bei {pressureHPa})',
  'alarm.vapour-over-temperature': 'Dampffühler {point} bei {tempC}, Grenze {limitC}',
  'alarm.boiler-over-temperature': 'Blasenfühler {point} bei {tempC}, Grenze {limitC}',
  'alarm.coolant-not-on': '{drive} meldet aus, obwohl an befohlen ist',
  'alarm.coolant-flow-lost': 'Kühlwasser {flowLPerH}, mindestens {minLPerH} sind nötig',
  'alarm.coolant-missing': 'Kühlwasser {flowLPerH}, mindestens {minLPerH} sind nötig, wenn Dampf kommt',
  'alarm.product-hot': 'Destillat {tempC}, Grenze {limitC}',
  'alarm.product-warm': 'Destillat {tempC}, warm ab {limitC}',
  'alarm.receiver-closed': '{drive} meldet, dass Vorlage {receiver} zu ist',
  'alarm.receiver-stuck': 'eine Vorlage ist ihrer Umschaltung nicht gefolgt',
  'alarm.receiver-overflow': '{volumeL} von {capacityL} in {receiver}, und {runOnL} laufen nach dem Abschalten noch',
  'alarm.receiver-nearly-full': '{volumeL} von {capacityL} in {receiver}, Zulauf {rateLPerH}',
  'alarm.receiver-leaking': 'geschlossene Vorlage {receiver} hat {gainedL} mehr, Grenze {limitL}',
  'alarm.scan-stopped': '{lateS} lang hat niemand hingesehen; nach {limitS} ist die Heizung aus',
  'alarm.scan-late': 'ein Durchlauf kam {lateS} nach dem vorigen',
  'alarm.blind': 'seit {sinceS} kein Messwert von irgendeiner Stelle',
  'alarm.heat-not-coming': '{drive} soll an sein, und es kommt keine Wärme (Nennleistung {ratedW})',
  'alarm.heat-mismatch': '{drive} zieht {powerW}, befohlen {toldW}',
  'alarm.wrong-charge': 'Blase steigt mit {riseKPerMin}: vermutlich {likelyL} darin, angegeben {chargeL}',
  'alarm.charge-stays-cold': 'die Wärme hätte die Blase in {overS} um {shouldK} wärmen sollen; es waren {riseK}',
  'alarm.charge-spent': '{leftL} übrig nach {collectedL} Destillat, {heelL} müssen bleiben',
  'alarm.energy-spent': 'die Wärme kann {boiledL} verkocht haben, die Füllung gibt {limitL}; gezählt sind {collectedL}',
  'alarm.boiler-above-bubble': 'Blase {boilerC}; was übrig sein soll, siedet bei {bubbleC}, Grenze {limitC}',
  'alarm.boiler-rising-fast': 'Blase beim Brennen in {overS} um {riseK} gestiegen, Grenze {limitK}',
  'alarm.boiler-rises-vapour-falls': 'Blase in {overS} um {riseK} gestiegen, Dampf um {fallK} gefallen',
  'alarm.vapour-failing': 'Dampf bei gleicher Heizung in {overS} um {fallK} auf {vapourC} gefallen',
  'alarm.vapour-gone': 'Dampf {vapourC}, obwohl seit {sinceS} geheizt wird',
  'alarm.dry-boil-signs': '{signs} Anzeichen zugleich: {because}',
  'alarm.sign-skin': 'Heizelement heiß',
  'alarm.sign-level': 'Füllstand nahe der Mindestfüllung',
  'alarm.sign-left': 'wenig übrig von der Füllung',
  'alarm.sign-boiler': 'Blase heißer, als sie sieden sollte',
  'alarm.sign-movement': 'Blase steigt',
  'alarm.no-drip': 'seit {sinceS} kam nichts; die Wärme hätte {expectedL} bringen sollen',
  'alarm.no-vapour': 'Blase {boilerC}, seit {sinceS} am Siedepunkt ({bubbleC}); Dampf erst {vapourC}',
  'alarm.protection-lost': 'seit {sinceS} kein verlässlicher Wert von {point}, erlaubt {graceS}',
  'alarm.nobody-there': 'seit {sinceS} hat sich niemand am Brenngerät gemeldet, erlaubt {limitS}',
  'alarm.attendance-due': 'seit {sinceS} hat sich niemand gemeldet; Heizung aus in {leftS}',
  'alarm.scorching': 'Heizelement {tempC}, brennt an ab {limitC}',
  'alarm.puking': 'Dampf um {jumpK} gesprungen, Grenze {limitK}',
  'alarm.puking-parrot': 'Spindelvorlage in {overS} um {fellVolPercent} gefallen',
  'alarm.probes-swapped': 'Dampf {vapourC} und Blase {boilerC} stehen verkehrt herum',
  'alarm.probes-impossible': 'Dampf {vapourC} kann nicht heißer sein als die Blase, {boilerC}',
  'alarm.probes-impossible-boiler':
    'Blase {boilerC} kann keinen Dampf von {vapourC} geben: unter {lowestC} siedet hier nichts',
  'alarm.probes-disagree': 'Fühler der Art {kind} liegen {apartK} auseinander, Grenze {limitK}',
  'alarm.boiler-unlikely': 'Blase {boilerC}; was übrig sein soll, siedet zwischen {lowC} und {highC}',
  'alarm.probe-power-on': '{point} sprang auf genau 85 °C und bleibt dort seit {sinceS}',
  'alarm.probe-jumped': '{point} sprang um {jumpK} auf {tempC}',
  'alarm.probe-stuck': '{point} zeigt seit {sinceS} genau {tempC}, obwohl er sich bewegen müsste',
  'alarm.probe-lost': 'Fühler {point} verloren: {fault}',
  'alarm.drive-mismatch': '{drive} soll {told} und meldet {reported}',
  'alarm.charge-strong': 'Füllung mit {chargeVolPercent} angegeben, zu bestätigen über {limitVolPercent}',
  'alarm.charge-boils-low': 'siedet bei {boilerC}, die stärkste erlaubte Füllung bei {lowestC}',
  'alarm.charge-running-low': '{leftL} übrig von der Füllung, {heelL} müssen bleiben',
  'alarm.heat-up-slow': 'Blase in {overS} um {riseK} gestiegen; die Wärme hätte {shouldK} machen sollen',
  'alarm.phase-too-long': '{phase} dauert {inPhaseS}, erwartet höchstens {limitS}',
  'alarm.run-too-long': 'Brand dauert {sinceS}, erwartet höchstens {limitS}',
  'alarm.off-profile': 'Dampf {isC} bei {sharePercent} des Alkohols; beim Vorbild waren es {wasC}',
  'alarm.air-pressure-sea-level': '{point} gibt {airPressureHPa}, zu viel für {altitudeM}: auf Meereshöhe umgerechnet',
  'alarm.air-pressure-lost': 'Barometer {point} verloren: {fault}; geschnitten wird nach: {source}',
  'coverage.bare-element-unseen':
    'nichts hier sieht ein freiliegendes Heizelement: es gewinnt etwa {gainK} in der Sekunde und ist in {inS} bei {limitC}; nur ein verdrahteter Begrenzer schützt',
  'coverage.bare-element-late':
    'ein freiliegendes Heizelement gewinnt etwa {gainK} in der Sekunde und ist in {inS} bei {limitC}; der schnellste Wächter hier braucht {quickestS}: rechtzeitig schützt nur ein verdrahteter Begrenzer',
  'coverage.no-element':
    'kein Heizelement, das freiliegen kann; eine leere Blase leidet unter Feuer oder Mantel trotzdem',
  'coverage.heat-unwatched':
    'was die Heizung wirklich tut, sagt nur der Kessel, Minuten später; ein Messpunkt der Art heat-power sagt es in Sekunden',
  'coverage.no-contactor': 'kein zweites Schütz: was nicht ausgeht, muss von Hand abgeschaltet werden',
  'coverage.no-switch-off':
    '{drive} schaltet sich nicht selbst ab: fällt dieser Rechner oder die Verbindung aus, bleibt die Heizung an',
  'coverage.switches-itself-off':
    '{drive} schaltet sich {deadManS} nach dem letzten Befehl selbst ab, so wie hier angegeben',
  'coverage.coolant-fails-on': '{drive} läuft ohne Strom weiter',
  'coverage.coolant-fails-off': '{drive} bleibt ohne Strom stehen: was noch siedet, wird nicht mehr niedergeschlagen',
  'coverage.coolant-fails-stay': '{drive} bleibt ohne Strom, wie es ist',
  'coverage.valve-fails-open': '{drive} öffnet ohne Strom',
  'coverage.valve-fails-closed': '{drive} schließt ohne Strom',
  'coverage.valve-fails-stay': '{drive} bleibt ohne Strom, wie es ist',
  'coverage.no-attendance': 'keine Anwesenheit vereinbart: niemand merkt, dass niemand da ist',
  'coverage.overflow-computed': 'Mengen sind nur gezählt, nicht gemessen: melden, wenn eine Vorlage geleert ist',
  'coverage.unproven': '{drive} meldet nichts: nach seiner Laufzeit gilt er als angekommen',
  'coverage.puking-hidden':
    'mitgerissene Flüssigkeit erwärmt den Helm einer Blase kaum: das kann ungesehen bleiben; ein Messpunkt der Art parrot-strength zeigt es',
  'coverage.lies-slowly':
    'ein toter oder springender Fühler zeigt sich in Sekunden; einer, der steht oder wandert, erst wenn ihm etwas widerspricht, nach zehn Minuten bis einer Stunde',
  'coverage.plateau-hides-a-stuck-probe':
    'auf dem Plateau einer Kolonne ist ein stehender Fühler nicht von einem ruhigen zu unterscheiden',
  'alarm.normal': 'nichts liegt vor',
  'alarm.store-failing': 'das Journal ist nicht zu schreiben: {why}',
  'alarm.clock-jumped': 'die Uhr ist um {byS} gesprungen; der Brand geht nach eigener Zeit',
  'alarm.disk-nearly-full': '{freePercent} des Datenträgers sind frei',
  'alarm.record-set-aside':
    'das Journal war beschädigt und wurde als {file} beiseitegelegt; ein neues wurde begonnen: {rescued}',
  'alarm.link-silent': 'der Broker war {silentS} nicht zu hören',
  'alarm.feed-flooding': '{point} sendet mehr als {readings} Messwerte in der Sekunde',
};

/** Was ein Alarm bedeutet und was jetzt zu tun ist. */
export const deGuidance: Readonly<Record<string, Guidance>> = {
  'vapour-leak': {
    means: 'Im Raum ist Alkoholdampf. Er ist schwerer als Luft, sammelt sich am Boden und brennt ab 3,1 % in der Luft.',
    now: 'Alle hinaus. Im Raum nichts schalten, weder ein noch aus; kein Telefon, keine Lampe. Die Heizung von außen abschalten, das Kühlwasser laufen lassen. Lüften, und erst mit einem Gaswarngerät zurückkommen. Das Leck kalt suchen.',
  },
  'heat-not-stopping': {
    means:
      'Die Heizung soll aus sein und heizt weiter: ein verschweißtes Relais, ein hängendes Ventil, ein von Hand gestellter Regler.',
    now: 'Jetzt den Hauptschalter ziehen oder den Brennstoff von Hand schließen. Kühlwasser laufen lassen. Das Gerät nicht benutzen, bevor das Relais ersetzt ist: es verschweißt wieder.',
  },
  'boiler-over-pressure': {
    means: 'Der Dampfweg ist verlegt, oder es siedet mehr, als er fasst. Jetzt bleibt nur noch das Sicherheitsventil.',
    now: 'Abstand vom Helm und vom Abblasrohr halten. Die Heizung ist aus; bei laufender Kühlung abkühlen lassen. Unter Druck nichts öffnen. Suchen, was verlegt: Maische im Geistrohr, ein geknickter Schlauch, ein vereister Kühler.',
  },
  vacuum: {
    means: 'Das Gerät zieht Luft und bekommt keine. Eine verschlossene Blase, die abkühlt, wird zusammengedrückt.',
    now: 'Einen Luftweg öffnen: ein Vorlagenventil, die Entlüftung, bei kühler Blase das Mannloch. Kein kaltes Wasser hinein oder darüber. Den Vakuumbrecher prüfen.',
  },
  'element-over-temperature': {
    means:
      'Das Heizelement ist an seiner Grenze. Freiliegend gewinnt es etwa 5 K in der Sekunde, und Dampf kann sich daran entzünden.',
    now: 'Die Heizung ist aus. Den Stand am Schauglas prüfen, nicht durch Öffnen der heißen Blase. Nichts Kaltes auf ein heißes Element. Vor dem nächsten Brand reinigen.',
  },
  'element-bare': {
    means:
      'Das Heizelement ist viel heißer als die Flüssigkeit, in der es stehen sollte: es liegt frei oder ist dick verkrustet.',
    now: 'Die Heizung ist aus. Stand prüfen; vor dem Nachfüllen abkühlen lassen. Am Ablass nach einem Leck sehen.',
  },
  'level-low': {
    means: 'Nur noch die Mindestfüllung über dem Heizelement ist da.',
    now: 'Die Heizung ist aus. Sollte der Brand noch nicht zu Ende sein, nach einem Leck oder offenen Ablass suchen. Sonst den Brand beenden.',
  },
  'dry-boil': {
    means:
      'Die Blase ist heißer, als es eine Flüssigkeit darin sein kann: ihr Fühler hängt im Dampf, oder es ist Druck darauf.',
    now: 'Die Heizung ist aus. Stand und Druck prüfen. Dieser Wächter ist langsam; er ersetzt keinen verdrahteten Begrenzer.',
  },
  'boiler-over-temperature': {
    means: 'Die Blase ist über dem, wofür sie gebaut ist.',
    now: 'Die Heizung ist aus. Stand, Druck und Fühler prüfen, bevor du quittierst.',
  },
  'vapour-over-temperature': {
    means: 'Der Dampf am Helm ist heißer, als Wasser siedet: da ist Druck, oder der Fühler lügt.',
    now: 'Die Heizung ist aus. Dampfweg und Fühler prüfen, bevor du quittierst.',
  },
  'coolant-not-on': {
    means: 'Kühlwasserventil oder Pumpe melden aus. Aus dem Kühler wird Dampf kommen.',
    now: 'Die Heizung ist aus. Das Kühlwasser von Hand öffnen, wenn es ohne Weg durch den Dampf geht. Lüften. Keine Flamme, kein Schalter in der Nähe des Auslaufs.',
  },
  'coolant-flow-lost': {
    means: 'Zu wenig Kühlwasser für das, was siedet. Was noch kommt, kann als Dampf kommen.',
    now: 'Die Heizung ist aus und bleibt es, auch wenn das Wasser wiederkommt. Lüften, Flammen und Schalter vom Auslauf fernhalten. Erst das Kühlwasser in Ordnung bringen, dann quittieren und fortsetzen.',
  },
  'product-hot': {
    means: 'Das Destillat ist so warm, dass Dampf mitkommt.',
    now: 'Die Heizung ist aus. Lüften und vom Auslauf wegbleiben. Kühlwasser und Kalk im Kühler prüfen.',
  },
  'receiver-closed': {
    means: 'Die Vorlage, die offen sein sollte, meldet zu. Eine andere wurde geöffnet, damit ein Weg bleibt.',
    now: 'Die Heizung ist aus. Nachsehen, welches Ventil wirklich offen ist. Von Hand in Ordnung bringen, dann fortsetzen.',
  },
  'receiver-stuck': {
    means: 'Ein Vorlagenventil ging nicht dorthin, wohin es sollte. Das nachweislich offene bleibt offen.',
    now: 'Die Heizung ist aus. Ventil, Luft und Versorgung ansehen. Quittieren und fortsetzen; die Umschaltung wird wiederholt.',
  },
  'receiver-overflow': {
    means: 'Was nach dem Abschalten noch läuft, passt gerade noch hinein.',
    now: 'Die Heizung ist aus. Eine andere Vorlage unterstellen oder diese leeren und das melden. Verschütteter Alkohol: keine Schalter, keine Flammen, lüften, aufnehmen.',
  },
  'scan-stopped': {
    means: 'Dieses Programm stand länger still, als die Heizung unbeobachtet bleiben darf.',
    now: 'Der Brand ist angehalten. Nach dem Gerät sehen, dann nach dem Rechner: Speicher, Datenträger, Prozessor. Ist alles gut, quittieren und fortsetzen.',
  },
  blind: {
    means:
      'Vom Brenngerät ist nichts mehr zu hören. Befehle kommen vielleicht auch nicht an; das deckt nur ein Gerät, das sich selbst abschaltet.',
    now: 'Zum Brenngerät gehen und sehen, dass die Heizung aus ist; sonst von Hand abschalten. Dann Netz, Broker und Versorgung der Fühler ansehen.',
  },
  'heat-not-coming': {
    means:
      'Die Heizung soll an sein und kommt nicht: Selbstabschaltung, Begrenzer, Sicherung, ein erloschener Brenner.',
    now: 'Vor dem Fortsetzen herausfinden, was es war. Hat ein Begrenzer ausgelöst, hatte er einen Grund: zuerst den Stand prüfen. Ein Brenner wird von Hand gezündet, durch seine eigene Steuerung.',
  },
  'wrong-charge': {
    means:
      'Die Blase wird schneller warm, als die angegebene Füllung kann, oder trotz Heizung gar nicht. Es ist zu wenig darin, oder der Fühler hängt in der Luft.',
    now: 'Die Heizung ist aus. Stand prüfen. Füllen, oder die Füllung richtig angeben und neu beginnen.',
  },
  'charge-spent': {
    means: 'Es ist so viel übergegangen, wie die Füllung hergibt, ohne das Heizelement freizulegen.',
    now: 'Die Heizung ist aus. Den Brand beenden. Stimmt die Zählung nicht, vor dem nächsten den Zähler prüfen.',
  },
  'energy-spent': {
    means: 'Es wurde so viel Wärme zugeführt, dass die Füllung verkocht sein muss, obwohl weniger gezählt ist.',
    now: 'Die Heizung ist aus. Nach einem Leck und einem hängenden Zähler suchen. Stand prüfen, bevor es weitergeht.',
  },
  'boiler-above-bubble': {
    means:
      'Die Blase ist heißer, als diese Füllung sein kann: sie ist schwächer als angegeben, der Weg ist verlegt, es ist wenig übrig, oder der Fühler lügt.',
    now: 'Die Heizung ist aus. Zuerst Stand und Dampfweg, dann die Stärke der Füllung, dann den Fühler prüfen.',
  },
  'boiler-rising-fast': {
    means: 'So erwärmt sich keine siedende Flüssigkeit. Der Fühler hängt in Dampf, den nichts kühlt.',
    now: 'Die Heizung ist aus. Stand prüfen.',
  },
  'boiler-rises-vapour-falls': {
    means: 'Die Blase wird wärmer, während der Dampf ausbleibt: es ist wenig übrig, das Dampf gibt.',
    now: 'Die Heizung ist aus. Stand prüfen und oberhalb der Blase nach einem Leck sehen.',
  },
  'vapour-failing': {
    means: 'Es wird geheizt, aber der Dampf bleibt aus: die Blase ist leer, oder der Dampf geht woandershin.',
    now: 'Die Heizung ist aus. Auf Dampf im Raum achten. Stand prüfen, dann Fugen und Dichtungen.',
  },
  'dry-boil-signs': {
    means: 'Mehrere Anzeichen sprechen für Trockenlauf, keines für sich sicher.',
    now: 'Die Heizung ist aus. Vor allem anderen den Stand prüfen.',
  },
  'no-drip': {
    means: 'Es siedet, und in den Vorlagen kommt nichts an. Der Dampf staut sich oder geht in den Raum.',
    now: 'Die Heizung ist aus. Auf Dampf im Raum achten. Auslauf, Schläuche und Ventile prüfen, dann die Fugen.',
  },
  'no-vapour': {
    means:
      'Die Blase siedet, und am Helm kommt kein Dampf an. Er entweicht darunter, der Weg ist zu, oder die Füllung ist schwächer als angegeben.',
    now: 'Die Heizung ist aus. Auf Dampf im Raum achten. Helm, Dichtungen und Weg prüfen, dann Fühler und Füllung.',
  },
  'protection-lost': {
    means: 'Ein Fühler, der das Gerät schützt, ist weg. Blind wird nicht gebrannt.',
    now: 'Die Heizung ist aus. Den Fühler zurückholen oder ihn bewusst aus der Beschreibung des Geräts nehmen. Dann quittieren und fortsetzen.',
  },
  'nobody-there': {
    means: 'In der vereinbarten Zeit hat sich niemand gemeldet. Ein heißes Gerät bleibt nicht allein.',
    now: 'Die Heizung ist aus. Zurückkommen, nachsehen, dort quittieren und fortsetzen.',
  },
  scorching: {
    means: 'Am Heizelement oder am Boden brennt etwas an.',
    now: 'Die Heizung ist solange halbiert, wo sie sich stellen lässt. Rühren, wenn es geht, sonst zurückdrehen. Schaum und Trub: die nächste Füllung abseihen.',
  },
  puking: {
    means: 'Flüssigkeit wird mit dem Dampf übergerissen: zu voll, Schaum, oder zu stark geheizt.',
    now: 'Die Heizung ist für eine Weile halbiert, und der Mittellauf ist umgeleitet. Erst kosten und hinsehen: die Umschaltung ablehnen, um zum Mittellauf zurückzukehren, oder sie machen.',
  },
  'boiler-pressure-high': {
    means: 'Der Weg leistet Widerstand: er setzt sich zu, oder eine Kolonne flutet.',
    now: 'Die Heizung ist solange halbiert, wo sie sich stellen lässt. Fällt der Druck nicht, anhalten und suchen, was verlegt.',
  },
  'product-warm': {
    means: 'Das Destillat ist wärmer, als es sein soll; bei 40 °C geht die Heizung aus.',
    now: 'Kühlwasser weiter öffnen oder schwächer heizen.',
  },
  'coolant-missing': {
    means: 'Es wird geheizt, und das Kühlwasser läuft noch nicht.',
    now: 'Das Kühlwasser öffnen, bevor Dampf kommt.',
  },
  'probes-swapped': {
    means: 'Der Dampffühler zeigt, was die Blase zeigen müsste, und umgekehrt.',
    now: 'Umschaltungen sind ausgesetzt. Anhalten, Stecker oder Namen tauschen, fortsetzen.',
  },
  'probes-impossible': {
    means: 'Blase und Dampf können bei diesem Luftdruck nicht beide stimmen.',
    now: 'Umschaltungen sind ausgesetzt. Beide Fühler in ihren Hülsen und den Luftdruck prüfen. Bis dahin von Hand umschalten.',
  },
  'probes-disagree': {
    means: 'Zwei Fühler derselben Stelle laufen auseinander. Nichts sagt, welcher recht hat.',
    now: 'Umschaltungen nach ihnen sind ausgesetzt. Beide mit einem dritten vergleichen, oder nach dem Brand in Eiswasser.',
  },
  'boiler-unlikely': {
    means:
      'Die Blase passt nicht zu dem, was übrig sein soll: der Fühler wandert, die Füllung war anders, oder der Weg setzt sich zu.',
    now: 'Mit einem zweiten Thermometer vergleichen. Die angegebene Stärke prüfen.',
  },
  'probe-power-on': {
    means:
      'Das Thermometer gibt den Wert, den es gleich nach dem Einschalten hat, ohne gemessen zu haben. Er kann echt sein.',
    now: 'Umschaltungen nach ihm sind ausgesetzt. Versorgung und Kabel prüfen, wenn es sich nicht in Sekunden bewegt.',
  },
  'probe-jumped': {
    means: 'Der Fühler sprang weiter, als sich seine Stelle ändern kann.',
    now: 'Umschaltungen nach ihm sind eine halbe Minute ausgesetzt. Kommt es wieder, Stecker und Kabel prüfen.',
  },
  'probe-stuck': {
    means: 'Der Fühler wiederholt einen Wert, obwohl er sich bewegt haben muss.',
    now: 'Umschaltungen nach ihm sind ausgesetzt, bis er sich bewegt. Seinen Wandler neu starten oder den Fühler tauschen.',
  },
  'probe-lost': {
    means: 'Der Fühler ist nicht zu hören oder gibt nichts, was ein Messwert sein kann.',
    now: 'Kabel, Versorgung und Wandler prüfen. Braucht ihn der Brand, wird bald angehalten.',
  },
  'drive-mismatch': {
    means: 'Ein Ventil, eine Pumpe oder ein Schütz meldet etwas anderes, als befohlen ist.',
    now: 'Nachsehen, wo es wirklich steht. Von Hand stellen, wenn das sicher ist.',
  },
  'heat-mismatch': {
    means: 'Es wird mehr oder weniger Leistung gezogen, als befohlen ist.',
    now: 'Heizelemente, Phasen und Regler prüfen. Nach der Wärme gerechnete Mengen stimmen solange nicht.',
  },
  'receiver-leaking': {
    means: 'Eine geschlossene Vorlage füllt sich: ihr Ventil ist undicht oder offen.',
    now: 'Prüfen, was hineinlief, bevor du verschneidest. Den Ventilsitz reinigen.',
  },
  'receiver-nearly-full': {
    means: 'Zehn Minuten oder ein Zehntel des Platzes sind übrig.',
    now: 'Leeren oder wechseln, und melden, dass sie geleert ist.',
  },
  'charge-strong': {
    means: 'Die Füllung ist stärker als üblich. Über 40 % vol kann sie bei Raumtemperatur brennen.',
    now: 'Nur durch Quittieren bestätigen, wenn es so gemeint ist; sonst beenden und auf 25 bis 32 % vol verdünnen.',
  },
  'charge-running-low': {
    means: 'Es kann nicht mehr viel übergehen, bis nur die Mindestfüllung bleibt.',
    now: 'Bereithalten zum Beenden. An der Mindestfüllung geht die Heizung von selbst aus.',
  },
  'heat-up-slow': {
    means:
      'Die Wärme zeigt sich nicht in der Blase: weniger Leistung als angegeben, mehr Füllung, oder ein Fühler in der Luft.',
    now: 'Leistung, Füllung und Fühler prüfen.',
  },
  'phase-too-long': {
    means: 'Der Abschnitt dauert länger, als das Rezept erwartet.',
    now: 'Hinsehen, riechen, kosten; von Hand umschalten, wenn es so weit ist.',
  },
  'run-too-long': {
    means: 'Der Brand dauert länger, als ein Brand auf diesem Gerät sollte.',
    now: 'Prüfen, ob es noch Sinn hat; sonst beenden.',
  },
  'attendance-due': {
    means: 'Solange es heiß ist, muss sich von Zeit zu Zeit jemand am Brenngerät melden.',
    now: 'Hingehen, nachsehen und dort melden.',
  },
  'off-profile': {
    means: 'Dieser Brand folgt nicht dem, aus dem sein Rezept stammt.',
    now: 'Heute Nase und Zunge mehr trauen als den Temperaturen. Füllung, Heizung und Rücklauf mit jenem Brand vergleichen.',
  },
  'air-pressure-sea-level': {
    means:
      'Das Barometer gibt den auf Meereshöhe umgerechneten Druck wie ein Wetterdienst. In 1000 m verschiebt das eine Umschaltung um 3 K.',
    now: 'Den Druck am Ort verwenden, oder ein Barometer im Brennraum.',
  },
  'air-pressure-lost': {
    means: 'Es gibt keinen frischen Luftdruck. Umgeschaltet wird nach dem letzten guten Wert.',
    now: 'Das Barometer zurückholen. Ändert sich das Wetter um 10 hPa, verschiebt sich eine Umschaltung um 0,3 K.',
  },
  'scan-late': {
    means: 'Der Rechner ist zu beschäftigt, und jeder Schutz ist so spät wie seine Durchläufe.',
    now: 'Schließen, was sonst darauf läuft.',
  },
  'store-failing': {
    means: 'Was entschieden wird, lässt sich nicht aufschreiben. Nur Befehle zur sicheren Seite gehen hinaus.',
    now: 'Platz schaffen oder den Datenträger tauschen. Der Brand ist angehalten.',
  },
  'clock-jumped': {
    means: 'Die Uhr des Rechners wurde gestellt. Der Brand geht nach eigener Zeit und merkt nichts davon.',
    now: 'Nichts, außer die Zeiten im Journal sind dir wichtig.',
  },
  'disk-nearly-full': {
    means: 'Bald lässt sich nichts mehr aufschreiben.',
    now: 'Vor dem nächsten Brand Platz schaffen.',
  },
  'record-set-aside': {
    means:
      'Die Datei des Journals war beim Start beschädigt. Sie liegt unter anderem Namen, ein neues Journal wurde begonnen.',
    now: 'Nach der Brennblase sehen: Das Journal kann einen alten Stand haben. Den Brand fortsetzen, wenn er übernommen wurde, sonst von Hand zu Ende führen. Eine Kopie der beschädigten Datei aufheben.',
  },
  'link-silent': {
    means:
      'Die Verbindung zum Broker war so lange weg, dass die Heizung sich selbst abgeschaltet hat oder es bald tut. Der Brand ist angehalten, damit die Hitze nicht mit der Verbindung wiederkommt.',
    now: 'Die Ursache suchen: Broker, Netz, Strom. Nach der Brennblase sehen, dann fortsetzen.',
  },
  'feed-flooding': {
    means:
      'Ein Messpunkt sendet weit mehr Werte, als jemand brauchen kann. Was zu viel ist, wird verworfen, damit das Übrige rechtzeitig ankommt.',
    now: 'Den Absender finden, der sich wiederholt; zwei Geräte auf einem Topic sehen ebenso aus.',
  },
};

/** Was schiefgehen kann, und was keine Software abdeckt. */
export const deHazards: Readonly<Record<string, HazardWords>> = {
  'bare-element': {
    name: 'freiliegendes Heizelement, Trockenlauf',
    beside: 'ein verdrahteter Begrenzer am Heizelement: freiliegend gewinnt es etwa 5 K in der Sekunde',
  },
  'wrong-charge': { name: 'leere Blase oder andere Füllung als angegeben', beside: 'jemand, der beim Füllen hinsieht' },
  scorching: { name: 'Anbrennen', beside: 'ein Rührwerk oder eine abgeseihte Füllung' },
  'over-temperature': { name: 'Blase oder Dampf über der Grenze', beside: 'ein verdrahteter Temperaturbegrenzer' },
  'coolant-lost': {
    name: 'Kühlwasser ausgefallen',
    beside: 'eine verdrahtete Kühlwasserverriegelung, für das, was nach dem Abschalten noch siedet',
  },
  'blocked-path': { name: 'verlegter Dampfweg', beside: 'ein Sicherheitsventil' },
  vacuum: { name: 'Unterdruck beim Abkühlen oder Spülen', beside: 'ein Vakuumbrecher' },
  'vapour-leak': { name: 'Alkoholdampf im Raum', beside: 'Lüftung, und keine Zündquelle im Bereich' },
  overflow: { name: 'Überlauf einer Vorlage', beside: 'eine Wanne unter den Vorlagen' },
  'stuck-valve': { name: 'klemmendes Ventil', beside: 'eine Entlüftung, die kein Ventil schließen kann' },
  'heat-not-stopping': { name: 'Heizung, die nicht ausgeht', beside: 'der Hauptschalter, von der Tür aus erreichbar' },
  puking: { name: 'übergerissene Flüssigkeit, Schaum', beside: 'Steigraum' },
  'lying-probe': { name: 'lügender Fühler', beside: 'nichts, wo Fühler eine Hülse oder einen Bus teilen' },
  'link-lost': { name: 'Verbindung oder Rechner ausgefallen', beside: 'die Selbstabschaltung der Heizung' },
  'power-cut': { name: 'Stromausfall im Heißen', beside: 'Ruhestellungen, und Kühlwasser, das von selbst läuft' },
  'nobody-there': { name: 'niemand da', beside: 'ein Mensch' },
  'wrong-pressure': { name: 'Luftdruck falsch oder verloren', beside: 'ein zweites Barometer' },
  'off-course': { name: 'Brand abseits seines Wegs', beside: 'Nase und Zunge' },
};
