import type { Guidance, HazardWords } from './say';

/** Noms des alarmes, pour les listes et les boutons. */
export const frAlarmNames: Readonly<Record<string, string>> = {
  'vapour-leak': "vapeurs d'alcool dans le local",
  'heat-not-stopping': "la chauffe ne s'arrête pas",
  'boiler-over-pressure': 'pression de la chaudière trop haute',
  vacuum: "dépression dans l'alambic",
  'element-over-temperature': 'résistance trop chaude',
  'element-bare': 'résistance découverte',
  'level-low': 'niveau trop bas',
  'dry-boil': 'marche à sec',
  'boiler-over-temperature': 'chaudière trop chaude',
  'vapour-over-temperature': 'vapeur trop chaude',
  'coolant-not-on': 'eau de refroidissement fermée',
  'coolant-flow-lost': 'eau de refroidissement perdue',
  'product-hot': 'distillat chaud',
  'receiver-closed': 'récipient ouvert trouvé fermé',
  'receiver-stuck': 'récipient bloqué',
  'receiver-overflow': 'récipient plein',
  'scan-stopped': "programme resté à l'arrêt",
  blind: "plus rien de l'alambic",
  'heat-not-coming': 'la chauffe ne vient pas',
  'wrong-charge': 'trop peu dans la chaudière',
  'charge-spent': 'charge épuisée',
  'energy-spent': 'charge évaporée selon la chaleur fournie',
  'boiler-above-bubble': 'chaudière plus chaude que sa charge ne peut bouillir',
  'boiler-rising-fast': 'la chaudière monte trop vite',
  'boiler-rises-vapour-falls': 'la chaudière monte, la vapeur baisse',
  'vapour-failing': 'la vapeur manque',
  'dry-boil-signs': 'plusieurs signes de marche à sec',
  'no-drip': 'ça bout mais rien ne coule',
  'no-vapour': 'ça bout mais pas de vapeur au chapiteau',
  'protection-lost': 'protection perdue',
  'nobody-there': 'personne',
  scorching: 'la charge attache',
  puking: 'liquide entraîné',
  'boiler-pressure-high': 'la pression de la chaudière monte',
  'product-warm': 'distillat tiède',
  'coolant-missing': "l'eau de refroidissement ne coule pas encore",
  'probes-swapped': 'sondes interverties',
  'probes-impossible': 'les sondes ne peuvent être justes toutes deux',
  'probes-disagree': 'les sondes se contredisent',
  'boiler-unlikely': 'température de chaudière peu probable',
  'probe-power-on': 'la sonde donne sa valeur de mise sous tension',
  'probe-jumped': 'sonde qui saute',
  'probe-stuck': 'sonde figée',
  'probe-lost': 'sonde perdue',
  'drive-mismatch': "un organe n'obéit pas",
  'heat-mismatch': 'puissance autre que demandée',
  'receiver-leaking': 'un récipient fermé se remplit',
  'receiver-nearly-full': 'récipient presque plein',
  'charge-strong': 'charge forte',
  'charge-running-low': 'la charge touche à sa fin',
  'heat-up-slow': 'chauffe lente',
  'phase-too-long': 'phase trop longue',
  'run-too-long': 'distillation trop longue',
  'attendance-due': "répondre à l'alambic",
  'off-profile': 'écart au modèle',
  'air-pressure-sea-level': 'pression ramenée au niveau de la mer',
  'air-pressure-lost': 'pression atmosphérique perdue',
  'scan-late': 'cycles en retard',
  'store-failing': "le journal ne s'écrit pas",
  'clock-jumped': "l'horloge a sauté",
  'disk-nearly-full': 'disque presque plein',
  'record-set-aside': 'journal mis de côté',
  'link-silent': 'courtier muet',
  'feed-flooding': 'trop de messages',
};

/** Ce que dit une alarme, avec ses chiffres. */
export const frAlarmSentences: Readonly<Record<string, string>> = {
  'alarm.none': "ce n'est pas le cas",
  'alarm.vapour-leak': "{point} lit {lelPercent} de la limite inférieure d'explosivité, limite {limitPercent}",
  'alarm.heat-not-stopping': "{drive} tire {powerW}, {sinceS} après l'ordre d'arrêt",
  'alarm.heat-not-stopping-reported': "{drive} se dit en marche, {sinceS} après l'ordre d'arrêt",
  'alarm.heat-not-stopping-boiler': "chaudière montée de {riseK} en {overS}, {sinceS} après l'arrêt de {drive}",
  'alarm.heat-not-stopping-vapour': "vapeur encore à {vapourC}, {sinceS} après l'arrêt de {drive}",
  'alarm.boiler-over-pressure': "chaudière {gaugeHPa} au-dessus de l'air, limite {limitHPa}",
  'alarm.boiler-pressure-high': "chaudière {gaugeHPa} au-dessus de l'air, la moitié de l'admissible est {limitHPa}",
  'alarm.vacuum': "chaudière {underHPa} au-dessous de l'air, limite {limitHPa}",
  'alarm.element-over-temperature': 'résistance {point} à {tempC}, bientôt {soonC} ; limite {limitC}',
  'alarm.element-bare': 'résistance {tempC}, {overK} au-dessus de son liquide ({boilerC}) ; limite {limitK}',
  'alarm.level-low': "{leftL} dans la chaudière d'après le niveau, {heelL} doivent rester",
  'alarm.dry-boil':
    'chaudière {boilerC}, plus chaude que tout liquide ne peut y bouillir ({limitC} sous {pressureHPa})',
  'alarm.vapour-over-temperature': 'sonde de vapeur {point} à {tempC}, limite {limitC}',
  'alarm.boiler-over-temperature': 'sonde de chaudière {point} à {tempC}, limite {limitC}',
  'alarm.coolant-not-on': '{drive} se dit fermé alors que la marche est demandée',
  'alarm.coolant-flow-lost': 'eau {flowLPerH}, il en faut au moins {minLPerH}',
  'alarm.coolant-missing': 'eau {flowLPerH}, il en faudra au moins {minLPerH} quand la vapeur viendra',
  'alarm.product-hot': 'distillat {tempC}, limite {limitC}',
  'alarm.product-warm': 'distillat {tempC}, tiède dès {limitC}',
  'alarm.receiver-closed': '{drive} dit que le récipient {receiver} est fermé',
  'alarm.receiver-stuck': "un récipient n'a pas suivi son changement",
  'alarm.receiver-overflow': "{volumeL} sur {capacityL} dans {receiver}, et {runOnL} viennent encore après l'arrêt",
  'alarm.receiver-nearly-full': '{volumeL} sur {capacityL} dans {receiver}, débit {rateLPerH}',
  'alarm.receiver-leaking': 'le récipient fermé {receiver} a pris {gainedL}, limite {limitL}',
  'alarm.scan-stopped': 'rien surveillé pendant {lateS} ; après {limitS} la chauffe est coupée',
  'alarm.scan-late': 'un cycle est venu {lateS} après le précédent',
  'alarm.blind': "aucune mesure d'aucun point depuis {sinceS}",
  'alarm.heat-not-coming': '{drive} doit chauffer et rien ne vient (puissance nominale {ratedW})',
  'alarm.heat-mismatch': '{drive} tire {powerW}, demandé {toldW}',
  'alarm.wrong-charge': 'la chaudière monte de {riseKPerMin} : sans doute {likelyL} dedans, déclaré {chargeL}',
  'alarm.charge-stays-cold':
    'la chauffe aurait dû faire monter la chaudière de {shouldK} en {overS} ; elle est montée de {riseK}',
  'alarm.charge-spent': 'reste {leftL} de la charge après {collectedL}, {heelL} doivent rester',
  'alarm.energy-spent': 'la chaleur a pu évaporer {boiledL}, la charge en donne {limitL} ; compté {collectedL}',
  'alarm.boiler-above-bubble': 'chaudière {boilerC} ; ce qui doit rester bout à {bubbleC}, limite {limitC}',
  'alarm.boiler-rising-fast': 'chaudière montée de {riseK} en {overS} pendant la distillation, limite {limitK}',
  'alarm.boiler-rises-vapour-falls': 'chaudière montée de {riseK}, vapeur baissée de {fallK} en {overS}',
  'alarm.vapour-failing': 'vapeur baissée de {fallK} en {overS} à {vapourC} sous chauffe constante',
  'alarm.vapour-gone': 'vapeur {vapourC} bien que la chauffe dure depuis {sinceS}',
  'alarm.dry-boil-signs': '{signs} signes à la fois : {because}',
  'alarm.sign-skin': 'résistance chaude',
  'alarm.sign-level': 'niveau proche du fond',
  'alarm.sign-left': 'il reste peu de charge',
  'alarm.sign-boiler': "chaudière plus chaude qu'elle ne devrait bouillir",
  'alarm.sign-movement': 'la chaudière monte',
  'alarm.no-drip': "rien n'est venu depuis {sinceS} ; la chaleur aurait dû donner {expectedL}",
  'alarm.no-vapour':
    "chaudière {boilerC}, à son point d'ébullition ({bubbleC}) depuis {sinceS} ; vapeur seulement {vapourC}",
  'alarm.protection-lost': 'pas de mesure fiable de {point} depuis {sinceS}, permis {graceS}',
  'alarm.nobody-there': "personne n'a répondu à l'alambic depuis {sinceS}, permis {limitS}",
  'alarm.attendance-due': "personne n'a répondu depuis {sinceS} ; chauffe coupée dans {leftS}",
  'alarm.scorching': 'résistance {tempC}, attache dès {limitC}',
  'alarm.puking': 'la vapeur a bondi de {jumpK}, limite {limitK}',
  'alarm.puking-parrot': 'le porte-alcoomètre a baissé de {fellVolPercent} en {overS}',
  'alarm.probes-swapped': 'vapeur {vapourC} et chaudière {boilerC} sont à l’envers',
  'alarm.probes-impossible': 'la vapeur {vapourC} ne peut être plus chaude que la chaudière, {boilerC}',
  'alarm.probes-impossible-boiler':
    'une chaudière à {boilerC} ne peut donner de vapeur à {vapourC} : rien ici ne bout au-dessous de {lowestC}',
  'alarm.probes-disagree': "sondes de l'espèce {kind} écartées de {apartK}, limite {limitK}",
  'alarm.boiler-unlikely': 'chaudière {boilerC} ; ce qui doit rester bout entre {lowC} et {highC}',
  'alarm.probe-power-on': '{point} a sauté à exactement 85 °C et y reste depuis {sinceS}',
  'alarm.probe-jumped': '{point} a sauté de {jumpK} à {tempC}',
  'alarm.probe-stuck': '{point} lit exactement {tempC} depuis {sinceS} alors qu’elle devrait bouger',
  'alarm.probe-lost': 'sonde {point} perdue : {fault}',
  'alarm.drive-mismatch': '{drive} doit être à {told} et indique {reported}',
  'alarm.charge-strong': 'charge déclarée à {chargeVolPercent}, à confirmer au-dessus de {limitVolPercent}',
  'alarm.charge-boils-low': 'bout à {boilerC}, la charge la plus forte permise à {lowestC}',
  'alarm.charge-running-low': 'reste {leftL} de la charge, {heelL} doivent rester',
  'alarm.heat-up-slow': 'chaudière montée de {riseK} en {overS} ; sa chaleur aurait dû faire {shouldK}',
  'alarm.phase-too-long': '{phase} dure {inPhaseS}, attendu au plus {limitS}',
  'alarm.run-too-long': 'la distillation dure {sinceS}, attendu au plus {limitS}',
  'alarm.off-profile': "vapeur {isC} à {sharePercent} de l'alcool ; c'était {wasC} pour le modèle",
  'alarm.air-pressure-sea-level': '{point} donne {airPressureHPa}, trop pour {altitudeM} : ramené au niveau de la mer',
  'alarm.air-pressure-lost': 'baromètre {point} perdu : {fault} ; les coupes suivent : {source}',
  'coverage.bare-element-unseen':
    'rien ici ne voit une résistance découverte : elle gagne environ {gainK} par seconde et atteint {limitC} en {inS} ; seul un limiteur câblé protège',
  'coverage.bare-element-late':
    'une résistance découverte gagne environ {gainK} par seconde et atteint {limitC} en {inS} ; le détecteur le plus rapide ici demande {quickestS} : seul un limiteur câblé protège à temps',
  'coverage.no-element':
    'pas de résistance à découvrir ; une chaudière vide souffre quand même de son feu ou de sa double enveloppe',
  'coverage.heat-unwatched':
    'seule la chaudière dit ce que fait vraiment la chauffe, des minutes plus tard ; un point de type heat-power le dit en quelques secondes',
  'coverage.no-contactor': "pas de second contacteur : une chauffe qui ne s'arrête pas se coupe à la main",
  'coverage.no-switch-off':
    '{drive} ne se coupe pas de lui-même : si cet ordinateur ou la liaison meurt, la chauffe reste en marche',
  'coverage.switches-itself-off': '{drive} se coupe de lui-même {deadManS} après le dernier ordre, comme déclaré ici',
  'coverage.coolant-fails-on': '{drive} continue sans courant',
  'coverage.coolant-fails-off': "{drive} s'arrête sans courant : ce qui bout encore n'est plus condensé",
  'coverage.coolant-fails-stay': '{drive} reste en l’état sans courant',
  'coverage.valve-fails-open': "{drive} s'ouvre sans courant",
  'coverage.valve-fails-closed': '{drive} se ferme sans courant',
  'coverage.valve-fails-stay': '{drive} reste en l’état sans courant',
  'coverage.no-attendance': "aucune présence convenue : rien ne remarque qu'il n'y a personne",
  'coverage.overflow-computed': 'les volumes sont comptés, non mesurés : dire quand un récipient est vidé',
  'coverage.unproven': "{drive} n'indique rien : sa position est tenue pour acquise après son temps de course",
  'coverage.puking-hidden':
    'le liquide entraîné réchauffe à peine la tête d’un alambic : cela peut passer inaperçu ; un point de type parrot-strength le montre',
  'coverage.lies-slowly':
    'une sonde morte ou qui saute se voit en quelques secondes ; une sonde figée ou qui dérive seulement quand autre chose la contredit, après dix minutes à une heure',
  'coverage.plateau-hides-a-stuck-probe':
    "au plateau d'une colonne, une sonde figée ne se distingue pas d'une sonde stable",
  'alarm.normal': 'rien à signaler',
  'alarm.store-failing': "le journal ne s'écrit pas : {why}",
  'alarm.clock-jumped': "l'horloge a sauté de {byS} ; la distillation suit son propre temps",
  'alarm.disk-nearly-full': '{freePercent} du disque sont libres',
  'alarm.record-set-aside':
    'le journal était abîmé et a été mis de côté sous {file} ; un nouveau a été commencé : {rescued}',
  'alarm.link-silent': 'le courtier de messages est muet depuis {silentS}',
  'alarm.feed-flooding': '{point} envoie plus de {readings} mesures par seconde',
};

/** Ce que signifie une alarme, et que faire maintenant. */
export const frGuidance: Readonly<Record<string, Guidance>> = {
  'vapour-leak': {
    means:
      "Il y a des vapeurs d'alcool dans le local. Plus lourdes que l'air, elles s'amassent au sol et brûlent dès 3,1 % dans l'air.",
    now: "Tout le monde dehors. Ne rien actionner dans le local, ni allumer ni éteindre ; ni téléphone ni lampe. Couper la chauffe de l'extérieur, laisser couler l'eau. Aérer, et ne revenir qu'avec un détecteur de gaz. Chercher la fuite à froid.",
  },
  'heat-not-stopping': {
    means: 'La chauffe doit être coupée et continue : relais soudé, vanne coincée, régulateur réglé à la main.',
    now: "Couper l'interrupteur général ou fermer le combustible à la main, tout de suite. Laisser couler l'eau. Ne pas se servir de l'alambic avant d'avoir remplacé le relais : il se soudera encore.",
  },
  'boiler-over-pressure': {
    means: "Le passage de la vapeur est bouché, ou il bout plus qu'il ne laisse passer. Il ne reste que la soupape.",
    now: "S'écarter du chapiteau et de l'échappement de la soupape. La chauffe est coupée ; laisser refroidir, eau ouverte. Ne rien ouvrir sous pression. Chercher ce qui bouche : marc dans le col, tuyau plié, réfrigérant gelé.",
  },
  vacuum: {
    means: "L'alambic aspire de l'air et n'en reçoit pas. Un alambic fermé qui refroidit s'écrase.",
    now: "Ouvrir un passage d'air : une vanne de récipient, l'évent, le trou d'homme si c'est assez froid. Pas d'eau froide dedans ni dessus. Vérifier le casse-vide.",
  },
  'element-over-temperature': {
    means:
      "La résistance est à sa limite. Découverte, elle gagne environ 5 K par seconde, et la vapeur peut s'y enflammer.",
    now: 'La chauffe est coupée. Vérifier le niveau au regard, sans ouvrir une chaudière chaude. Rien de froid sur une résistance chaude. La nettoyer avant la prochaine chauffe.',
  },
  'element-bare': {
    means:
      'La résistance est bien plus chaude que le liquide où elle devrait baigner : découverte, ou couverte d’une croûte.',
    now: 'La chauffe est coupée. Vérifier le niveau ; laisser refroidir avant de remplir. Chercher une fuite à la vidange.',
  },
  'level-low': {
    means: 'Il ne reste que le liquide qui doit couvrir la résistance.',
    now: 'La chauffe est coupée. Si ce ne devait pas être la fin, chercher une fuite ou une vidange ouverte. Sinon, terminer.',
  },
  'dry-boil': {
    means:
      "La chaudière est plus chaude que tout liquide ne peut l'être : sa sonde est dans la vapeur, ou il y a de la pression.",
    now: 'La chauffe est coupée. Vérifier niveau et pression. Ce détecteur est lent ; il ne remplace pas un limiteur câblé.',
  },
  'boiler-over-temperature': {
    means: 'La chaudière dépasse ce pour quoi elle est faite.',
    now: "La chauffe est coupée. Vérifier niveau, pression et sonde avant d'acquitter.",
  },
  'vapour-over-temperature': {
    means: "La vapeur au chapiteau est plus chaude que l'eau ne bout : il y a de la pression, ou la sonde ment.",
    now: "La chauffe est coupée. Vérifier le passage de la vapeur et la sonde avant d'acquitter.",
  },
  'coolant-not-on': {
    means: "La vanne ou la pompe d'eau se dit fermée. De la vapeur sortira du réfrigérant.",
    now: "La chauffe est coupée. Ouvrir l'eau à la main si l'on peut sans entrer dans la vapeur. Aérer. Ni flamme ni interrupteur près du bec.",
  },
  'coolant-flow-lost': {
    means: "Trop peu d'eau pour condenser ce qui bout. Ce qui vient encore peut sortir en vapeur.",
    now: "La chauffe est coupée et le reste quand l'eau revient. Aérer, éloigner flammes et interrupteurs du bec. Rétablir l'eau avant toute chose, puis acquitter et reprendre.",
  },
  'product-hot': {
    means: 'Le distillat est si chaud que de la vapeur sort avec lui.',
    now: "La chauffe est coupée. Aérer et s'écarter du bec. Vérifier le débit d'eau et le tartre du réfrigérant.",
  },
  'receiver-closed': {
    means: 'Le récipient qui devrait être ouvert se dit fermé. Un autre a été ouvert pour garder un passage.',
    now: 'La chauffe est coupée. Regarder quelle vanne est vraiment ouverte. Remettre en ordre à la main avant de reprendre.',
  },
  'receiver-stuck': {
    means: "Une vanne de récipient n'est pas allée où elle devait. Celle dont l'ouverture est prouvée reste ouverte.",
    now: 'La chauffe est coupée. Regarder la vanne, son air ou son alimentation. Acquitter, puis reprendre ; le changement est retenté.',
  },
  'receiver-overflow': {
    means: "Ce qui vient encore après l'arrêt tient tout juste.",
    now: 'La chauffe est coupée. Mettre un autre récipient sous le bec ou vider celui-ci, et le dire. Alcool renversé : ni interrupteur ni flamme, aérer, éponger.',
  },
  'scan-stopped': {
    means: "Ce programme est resté arrêté plus longtemps que la chauffe ne peut l'être sans surveillance.",
    now: "La distillation est suspendue. Regarder l'alambic, puis l'ordinateur : mémoire, disque, processeur. Si tout va bien, acquitter et reprendre.",
  },
  blind: {
    means:
      "On n'entend plus rien de l'alambic. Les ordres n'arrivent peut-être pas non plus ; seul un appareil qui se coupe de lui-même couvre cela.",
    now: "Aller à l'alambic et voir que la chauffe est coupée ; sinon la couper à la main. Puis regarder réseau, courtier et alimentation des sondes.",
  },
  'heat-not-coming': {
    means: 'La chauffe est demandée et ne vient pas : coupure automatique, limiteur, disjoncteur, brûleur éteint.',
    now: "Trouver lequel avant de reprendre. Si un limiteur a déclenché, il avait une raison : vérifier d'abord le niveau. Un brûleur s'allume à la main, par sa propre commande.",
  },
  'wrong-charge': {
    means:
      'La chaudière chauffe plus vite que la charge déclarée ne le peut, ou pas du tout malgré la chauffe. Il y a trop peu dedans, ou la sonde est dans l’air.',
    now: 'La chauffe est coupée. Vérifier le niveau. Remplir, ou corriger la charge et recommencer.',
  },
  'charge-spent': {
    means: 'Il est venu autant que la charge peut donner en couvrant encore la résistance.',
    now: 'La chauffe est coupée. Terminer. Si le compte est faux, vérifier le compteur avant la prochaine fois.',
  },
  'energy-spent': {
    means: "Il est entré tant de chaleur que la charge doit être évaporée, bien qu'on ait compté moins.",
    now: 'La chauffe est coupée. Chercher une fuite de vapeur ou de distillat, et un compteur coincé. Vérifier le niveau avant de continuer.',
  },
  'boiler-above-bubble': {
    means:
      'La chaudière est plus chaude que cette charge ne peut être : plus faible que déclarée, passage bouché, presque vide, ou sonde fausse.',
    now: "La chauffe est coupée. Vérifier d'abord niveau et passage, puis le titre de la charge, puis la sonde.",
  },
  'boiler-rising-fast': {
    means: 'Un liquide qui bout ne chauffe pas ainsi. La sonde est dans une vapeur que rien ne refroidit.',
    now: 'La chauffe est coupée. Vérifier le niveau.',
  },
  'boiler-rises-vapour-falls': {
    means: 'La chaudière chauffe tandis que la vapeur manque : il reste peu qui en donne.',
    now: 'La chauffe est coupée. Vérifier le niveau, et chercher une fuite au-dessus de la chaudière.',
  },
  'vapour-failing': {
    means: 'On chauffe, mais la vapeur manque : la chaudière est vide, ou la vapeur va ailleurs.',
    now: 'La chauffe est coupée. Attention aux vapeurs dans le local. Vérifier le niveau, puis joints et raccords.',
  },
  'dry-boil-signs': {
    means: 'Plusieurs signes indiquent une marche à sec, aucun certain à lui seul.',
    now: 'La chauffe est coupée. Vérifier le niveau avant toute chose.',
  },
  'no-drip': {
    means: "Ça bout, et rien n'arrive aux récipients. La vapeur est retenue ou va dans le local.",
    now: 'La chauffe est coupée. Attention aux vapeurs. Vérifier bec, tuyaux et vannes, puis les joints.',
  },
  'no-vapour': {
    means:
      "La chaudière bout et la vapeur n'atteint pas le chapiteau. Elle s'échappe plus bas, le passage est fermé, ou la charge est plus faible que déclarée.",
    now: 'La chauffe est coupée. Attention aux vapeurs. Vérifier chapiteau, joints et passage, puis sonde et charge.',
  },
  'protection-lost': {
    means: "Une sonde qui protège l'alambic a disparu. On ne distille pas à l'aveugle.",
    now: "La chauffe est coupée. Rétablir la sonde, ou la retirer exprès de la description de l'alambic. Puis acquitter et reprendre.",
  },
  'nobody-there': {
    means: "Personne n'a répondu dans le temps convenu. Un alambic chaud ne reste pas seul.",
    now: "La chauffe est coupée. Revenir à l'alambic, regarder, acquitter et reprendre sur place.",
  },
  scorching: {
    means: 'Quelque chose attache à la résistance ou au fond.',
    now: 'La chauffe est réduite de moitié tant que cela dure, là où elle se règle. Remuer si possible, sinon baisser. Mousse et lies : filtrer la prochaine charge.',
  },
  puking: {
    means: 'Du liquide est entraîné avec la vapeur : trop plein, mousse, ou chauffe trop forte.',
    now: 'La chauffe est réduite de moitié un moment, et le cœur est détourné. Goûter et regarder avant de reprendre le cœur : refuser la coupe pour y revenir, ou la faire.',
  },
  'boiler-pressure-high': {
    means: "Le passage résiste : il se bouche, ou une colonne s'engorge.",
    now: 'La chauffe est réduite de moitié tant que cela dure, là où elle se règle. Si la pression ne baisse pas, suspendre et chercher ce qui bouche.',
  },
  'product-warm': {
    means: 'Le distillat est plus chaud qu’il ne devrait ; à 40 °C la chauffe se coupe.',
    now: "Ouvrir l'eau davantage, ou réduire la chauffe.",
  },
  'coolant-missing': {
    means: "On chauffe et l'eau ne coule pas encore.",
    now: "Ouvrir l'eau avant que la vapeur ne vienne.",
  },
  'probes-swapped': {
    means: 'La sonde de vapeur montre ce que la chaudière devrait montrer, et inversement.',
    now: 'Les coupes sont suspendues. Suspendre, échanger les fiches ou les noms, reprendre.',
  },
  'probes-impossible': {
    means: 'Chaudière et vapeur ne peuvent être justes toutes deux à cette pression.',
    now: 'Les coupes sont suspendues. Vérifier les deux sondes dans leurs doigts de gant, et la pression. Couper à la main jusque-là.',
  },
  'probes-disagree': {
    means: "Deux sondes du même endroit s'écartent. Rien ne dit laquelle a raison.",
    now: 'Les coupes par elles sont suspendues. Les comparer à une troisième, ou dans la glace fondante après coup.',
  },
  'boiler-unlikely': {
    means:
      'La chaudière ne va pas avec ce qui doit rester : la sonde dérive, la charge était autre, ou le passage se bouche.',
    now: 'Comparer à un second thermomètre. Vérifier le titre déclaré.',
  },
  'probe-power-on': {
    means:
      "Le thermomètre donne la valeur qu'il a juste après la mise sous tension, sans avoir mesuré. Elle peut être vraie.",
    now: 'Les coupes par lui sont suspendues. Vérifier alimentation et câble s’il ne bouge pas en quelques secondes.',
  },
  'probe-jumped': {
    means: 'La sonde a sauté plus loin que son endroit ne peut changer.',
    now: 'Les coupes par elle sont suspendues une demi-minute. Si cela revient, vérifier fiche et câble.',
  },
  'probe-stuck': {
    means: 'La sonde répète une valeur alors qu’elle a dû bouger.',
    now: "Les coupes par elle sont suspendues jusqu'à ce qu'elle bouge. Redémarrer son convertisseur ou la remplacer.",
  },
  'probe-lost': {
    means: "On n'entend pas la sonde, ou ce qu'elle donne n'est pas une mesure.",
    now: 'Vérifier câble, alimentation et convertisseur. Si la distillation en a besoin, elle sera bientôt suspendue.',
  },
  'drive-mismatch': {
    means: 'Une vanne, une pompe ou un contacteur indique autre chose que demandé.',
    now: 'Regarder où il est vraiment. Le mettre à la main si c’est sans danger.',
  },
  'heat-mismatch': {
    means: 'Il est tiré plus ou moins de puissance que demandé.',
    now: 'Vérifier résistances, phases et régulateur. Les volumes estimés par la chaleur sont faux pendant ce temps.',
  },
  'receiver-leaking': {
    means: 'Un récipient fermé se remplit : sa vanne fuit ou est ouverte.',
    now: "Vérifier ce qui y a coulé avant d'assembler. Nettoyer le siège de la vanne.",
  },
  'receiver-nearly-full': {
    means: 'Il reste dix minutes, ou un dixième de la place.',
    now: 'Le vider ou le changer, et dire qu’il est vidé.',
  },
  'charge-strong': {
    means: 'La charge est plus forte que d’ordinaire. Au-dessus de 40 % vol elle peut brûler à température ambiante.',
    now: "N'acquitter que si c'est voulu ; sinon terminer et ramener à 25–32 % vol.",
  },
  'charge-running-low': {
    means: 'Il ne peut plus venir grand-chose avant que seul le fond reste.',
    now: "Se tenir prêt à terminer. Au fond, la chauffe se coupe d'elle-même.",
  },
  'heat-up-slow': {
    means:
      "La chaleur ne se voit pas dans la chaudière : moins de puissance que déclaré, plus de charge, ou une sonde dans l'air.",
    now: 'Vérifier puissance, charge et sonde.',
  },
  'phase-too-long': {
    means: 'La phase dure plus que la recette ne prévoit.',
    now: 'Regarder, sentir, goûter ; couper à la main si c’est le moment.',
  },
  'run-too-long': {
    means: 'La distillation dure plus qu’elle ne devrait sur cet alambic.',
    now: 'Voir si cela a encore un sens ; sinon terminer.',
  },
  'attendance-due': {
    means: "Tant que c'est chaud, quelqu'un doit répondre de temps en temps à l'alambic.",
    now: "Aller à l'alambic, regarder, et répondre sur place.",
  },
  'off-profile': {
    means: 'Cette distillation ne suit pas celle dont vient sa recette.',
    now: "Se fier aujourd'hui au nez et à la langue plus qu'aux températures. Comparer charge, chauffe et reflux à ceux du modèle.",
  },
  'air-pressure-sea-level': {
    means:
      'Le baromètre donne une pression ramenée au niveau de la mer, comme la météo. À 1000 m, cela déplace une coupe de 3 K.',
    now: 'Employer la pression du lieu, ou un baromètre dans la distillerie.',
  },
  'air-pressure-lost': {
    means: 'Pas de pression récente. Les coupes suivent la dernière bonne valeur.',
    now: 'Rétablir le baromètre. Si le temps change de 10 hPa, une coupe se déplace de 0,3 K.',
  },
  'scan-late': {
    means: "L'ordinateur est trop occupé, et chaque protection est en retard comme ses cycles.",
    now: 'Fermer ce qui tourne en plus.',
  },
  'store-failing': {
    means: "Ce qui se décide ne peut s'écrire. Seuls partent les ordres vers le côté sûr.",
    now: 'Libérer ou remplacer le disque. La distillation est suspendue.',
  },
  'clock-jumped': {
    means: "L'horloge de l'ordinateur a été réglée. La distillation suit son propre temps et n'est pas touchée.",
    now: 'Rien, sauf si les heures du journal comptent pour vous.',
  },
  'disk-nearly-full': {
    means: 'Bientôt plus rien ne pourra s’écrire.',
    now: 'Faire de la place avant la prochaine distillation.',
  },
  'record-set-aside': {
    means:
      'Le fichier du journal était abîmé au démarrage. Il est gardé sous un autre nom, et un nouveau journal est commencé.',
    now: "Voir l'alambic : le journal peut dater. Reprendre la distillation si elle a été reprise, sinon la finir à la main. Garder une copie du fichier abîmé.",
  },
  'link-silent': {
    means:
      "La liaison au courtier a manqué si longtemps que la chauffe s'est coupée d'elle-même, ou va le faire. La distillation est suspendue, pour que la chauffe ne revienne pas avec la liaison.",
    now: "Chercher la cause : courtier, réseau, courant. Voir l'alambic, puis reprendre.",
  },
  'feed-flooding': {
    means:
      "Un point envoie bien plus de mesures qu'il n'en faut. Ce qui est de trop est écarté, pour que le reste arrive à temps.",
    now: "Trouver l'émetteur qui se répète ; deux appareils sur un même topic ont le même effet.",
  },
};

/** Ce qui peut mal tourner, et ce qu'aucun logiciel ne couvre. */
export const frHazards: Readonly<Record<string, HazardWords>> = {
  'bare-element': {
    name: 'résistance découverte, marche à sec',
    beside: 'un limiteur câblé sur la résistance : découverte, elle gagne environ 5 K par seconde',
  },
  'wrong-charge': {
    name: 'chaudière vide ou charge autre que déclarée',
    beside: "quelqu'un qui regarde au remplissage",
  },
  scorching: { name: 'charge qui attache', beside: 'un agitateur, ou une charge filtrée' },
  'over-temperature': {
    name: 'chaudière ou vapeur au-dessus de sa limite',
    beside: 'un limiteur de température câblé',
  },
  'coolant-lost': {
    name: 'eau de refroidissement perdue',
    beside: "un verrouillage câblé sur l'eau, pour ce qui bout encore après l'arrêt",
  },
  'blocked-path': { name: 'passage de la vapeur bouché', beside: 'une soupape de sûreté' },
  vacuum: { name: 'dépression au refroidissement ou au rinçage', beside: 'un casse-vide' },
  'vapour-leak': {
    name: "vapeurs d'alcool dans le local",
    beside: "l'aération, et aucune source d'inflammation dans la zone",
  },
  overflow: { name: "débordement d'un récipient", beside: 'un bac sous les récipients' },
  'stuck-valve': { name: 'vanne bloquée', beside: "un évent qu'aucune vanne ne ferme" },
  'heat-not-stopping': { name: "chauffe qui ne s'arrête pas", beside: "l'interrupteur général, à portée de la porte" },
  puking: { name: 'liquide entraîné, mousse', beside: 'de la place au-dessus de la charge' },
  'lying-probe': { name: 'sonde qui ment', beside: 'rien, quand des sondes partagent un doigt de gant ou un bus' },
  'link-lost': { name: 'liaison ou ordinateur perdus', beside: "la coupure automatique de l'appareil de chauffe" },
  'power-cut': {
    name: 'coupure de courant à chaud',
    beside: "les positions de repos, et une eau qui coule d'elle-même",
  },
  'nobody-there': { name: 'personne', beside: "quelqu'un" },
  'wrong-pressure': { name: 'pression atmosphérique fausse ou perdue', beside: 'un second baromètre' },
  'off-course': { name: 'distillation hors de sa route', beside: 'le nez et la langue' },
};
