/** What can be wrong with a message, as data: worded in the language of the still. */
export type TroubleCode =
  | 'value-missing'
  | 'value-null'
  | 'value-text'
  | 'value-not-a-number'
  | 'value-infinite'
  | 'value-empty'
  | 'value-unknown-token'
  | 'value-retained'
  | 'value-sentinel'
  | 'value-checksum'
  | 'value-too-large'
  | 'value-unit'
  | 'value-offline'
  | 'time-unreadable'
  | 'time-old'
  | 'time-ahead'
  | 'topic-unknown'
  | 'nothing-in-it'
  | 'order-bad'
  | 'order-refused'
  | 'order-recipe'
  | 'recipe-bad'
  | 'recipe-fixed'
  | 'store-failing'
  | 'copy-kept'
  | 'saved-unreadable';

export interface Trouble {
  readonly code: TroubleCode;
  /** Troubles of one key are one trouble: told once. */
  readonly key: string;
  readonly fields: Readonly<Record<string, string | number>>;
}

export function trouble(code: TroubleCode, about: string, fields: Trouble['fields'] = {}): Trouble {
  return { code, key: `${code} ${about}`, fields };
}

type Sentences = Readonly<Record<TroubleCode, string>>;

const en: Sentences = {
  'value-missing': '{point}: there is no value at msg.{property}',
  'value-null': '{point}: msg.{property} is null',
  'value-text': '{point}: msg.{property} holds {value} where a number belongs',
  'value-not-a-number': '{point}: msg.{property} is not a number ({value})',
  'value-infinite': '{point}: msg.{property} is infinite',
  'value-empty': '{point}: msg.{property} is empty',
  'value-unknown-token': '{point}: the word {value} in msg.{property} is not known',
  'value-retained':
    '{point}: the broker had kept this message, nobody knows how old it is; it is not taken as a reading',
  'value-sentinel': '{point}: {value} in msg.{property} is what the sensor sends when it has no reading',
  'value-checksum': '{point}: the checksum is wrong',
  'value-too-large': '{point}: the message is too large',
  'value-unit': '{point}: the unit {unit} does not fit; {wanted} is measured here',
  'value-offline': '{point}: the device is offline',
  'time-unreadable': '{point}: the time stamp {value} cannot be read: give milliseconds since 1970 or an ISO date',
  'time-old': '{point}: the reading is {ageS} s old, older than the {limitS} s allowed',
  'time-ahead': '{point}: the time stamp lies {aheadS} s ahead: is a clock wrong?',
  'topic-unknown': 'topic {topic} is no point of the still "{still}" and no order; points are {points}',
  'nothing-in-it': 'there is nothing in this message for the still "{still}": no topic of a point, no order',
  'order-bad': 'not an order: {why}',
  'order-refused': '{order} refused: {why}',
  'order-recipe': 'start refused: the order names recipe "{named}", this run has "{recipe}"',
  'recipe-bad': 'the recipe cannot be used: {why}',
  'recipe-fixed': 'a recipe came in a message, but this run takes its recipe from its settings',
  'store-failing': 'the run cannot be written down ({why}); it goes on, but would not survive a restart',
  'copy-kept': 'still or recipe were changed during a run: the run goes on with the copies it began with',
  'saved-unreadable': 'what was written down of the last run cannot be read ({why}); it begins anew',
};

const de: Sentences = {
  'value-missing': '{point}: bei msg.{property} steht kein Wert',
  'value-null': '{point}: msg.{property} ist null',
  'value-text': '{point}: in msg.{property} steht {value} statt einer Zahl',
  'value-not-a-number': '{point}: msg.{property} ist keine Zahl ({value})',
  'value-infinite': '{point}: msg.{property} ist unendlich',
  'value-empty': '{point}: msg.{property} ist leer',
  'value-unknown-token': '{point}: das Wort {value} in msg.{property} ist nicht bekannt',
  'value-retained':
    '{point}: der Broker hatte diese Nachricht aufbewahrt, niemand weiß, wie alt sie ist; sie gilt nicht als Messwert',
  'value-sentinel': '{point}: {value} in msg.{property} sendet der Fühler, wenn er nichts misst',
  'value-checksum': '{point}: die Prüfsumme stimmt nicht',
  'value-too-large': '{point}: die Nachricht ist zu groß',
  'value-unit': '{point}: die Einheit {unit} passt nicht; hier wird {wanted} gemessen',
  'value-offline': '{point}: das Gerät ist nicht erreichbar',
  'time-unreadable':
    '{point}: der Zeitstempel {value} ist nicht lesbar: Millisekunden seit 1970 oder ein ISO-Datum angeben',
  'time-old': '{point}: der Messwert ist {ageS} s alt, erlaubt sind {limitS} s',
  'time-ahead': '{point}: der Zeitstempel liegt {aheadS} s in der Zukunft: geht eine Uhr falsch?',
  'topic-unknown': 'Topic {topic} ist kein Messpunkt der Blase „{still}“ und keine Anweisung; Messpunkte: {points}',
  'nothing-in-it': 'in dieser Nachricht steht nichts für die Blase „{still}“: kein Messpunkt, keine Anweisung',
  'order-bad': 'keine Anweisung: {why}',
  'order-refused': '{order} abgelehnt: {why}',
  'order-recipe': 'Start abgelehnt: die Anweisung nennt das Rezept „{named}“, hier gilt „{recipe}“',
  'recipe-bad': 'das Rezept ist nicht brauchbar: {why}',
  'recipe-fixed': 'ein Rezept kam als Nachricht, dieser Brand nimmt sein Rezept aber aus den Einstellungen',
  'store-failing': 'der Brand kann nicht gesichert werden ({why}); er läuft weiter, übersteht aber keinen Neustart',
  'copy-kept': 'Blase oder Rezept wurden während des Brandes geändert: er läuft mit den Kopien vom Anfang weiter',
  'saved-unreadable': 'das Gesicherte des letzten Brandes ist nicht lesbar ({why}); es wird neu begonnen',
};

const fr: Sentences = {
  'value-missing': "{point} : il n'y a pas de valeur dans msg.{property}",
  'value-null': '{point} : msg.{property} est null',
  'value-text': '{point} : msg.{property} contient {value} au lieu d’un nombre',
  'value-not-a-number': '{point} : msg.{property} n’est pas un nombre ({value})',
  'value-infinite': '{point} : msg.{property} est infini',
  'value-empty': '{point} : msg.{property} est vide',
  'value-unknown-token': '{point} : le mot {value} dans msg.{property} est inconnu',
  'value-retained':
    '{point} : le courtier avait conservé ce message, personne n’en connaît l’âge ; il ne compte pas comme mesure',
  'value-sentinel': '{point} : {value} dans msg.{property} est ce que le capteur envoie quand il ne mesure rien',
  'value-checksum': '{point} : la somme de contrôle est fausse',
  'value-too-large': '{point} : le message est trop grand',
  'value-unit': '{point} : l’unité {unit} ne convient pas ; on mesure ici {wanted}',
  'value-offline': '{point} : l’appareil est hors ligne',
  'time-unreadable':
    '{point} : l’horodatage {value} est illisible : donner des millisecondes depuis 1970 ou une date ISO',
  'time-old': '{point} : la mesure a {ageS} s, plus que les {limitS} s permises',
  'time-ahead': '{point} : l’horodatage est en avance de {aheadS} s : une horloge est-elle fausse ?',
  'topic-unknown': 'le topic {topic} n’est ni un point de l’alambic « {still} » ni un ordre ; points : {points}',
  'nothing-in-it': 'ce message ne contient rien pour l’alambic « {still} » : ni point, ni ordre',
  'order-bad': 'pas un ordre : {why}',
  'order-refused': '{order} refusé : {why}',
  'order-recipe': 'départ refusé : l’ordre nomme la recette « {named} », cette chauffe a « {recipe} »',
  'recipe-bad': 'la recette est inutilisable : {why}',
  'recipe-fixed': 'une recette est arrivée par message, mais cette chauffe prend la sienne dans ses réglages',
  'store-failing':
    'la chauffe ne peut pas être sauvegardée ({why}) ; elle continue, mais ne survivrait pas à un redémarrage',
  'copy-kept': 'alambic ou recette changés pendant la chauffe : elle continue avec les copies du début',
  'saved-unreadable': 'la sauvegarde de la dernière chauffe est illisible ({why}) ; on recommence',
};

const sentences: Readonly<Record<string, Sentences>> = { en, de, fr };

/** Languages the nodes speak by themselves; reasons of the engine have their own catalogue. */
export const troubleLanguages: readonly string[] = Object.keys(sentences);

/** A trouble in words; English where the language is not known. */
export function sayTrouble(found: Trouble, language: string): string {
  const sentence = (sentences[language] ?? en)[found.code];
  return sentence.replace(/\{(\w+)\}/g, (_, field: string) => String(found.fields[field] ?? '?'));
}
