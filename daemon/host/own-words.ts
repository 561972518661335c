import type { Guidance, Language } from '../../lib/words';

/** What the host says of itself, beside the words `lib/words` has for it. */
interface OwnWords {
  readonly sentences: Language['sentences'];
  readonly names: Language['names'];
  readonly guidance: Readonly<Record<string, Guidance>>;
}

const en: OwnWords = {
  sentences: {
    'alarm.record-set-aside': 'the record was damaged and set aside as {file}; a new one was begun: {rescued}',
    'alarm.link-silent': 'the broker was not heard for {silentS}',
  },
  names: { 'record-set-aside': 'record set aside', 'link-silent': 'broker silent' },
  guidance: {
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
  },
};

const de: OwnWords = {
  sentences: {
    'alarm.record-set-aside':
      'das Journal war beschädigt und wurde als {file} beiseitegelegt; ein neues wurde begonnen: {rescued}',
    'alarm.link-silent': 'der Broker war {silentS} nicht zu hören',
  },
  names: { 'record-set-aside': 'Journal beiseitegelegt', 'link-silent': 'Broker stumm' },
  guidance: {
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
  },
};

const fr: OwnWords = {
  sentences: {
    'alarm.record-set-aside':
      'le journal était abîmé et a été mis de côté sous {file} ; un nouveau a été commencé : {rescued}',
    'alarm.link-silent': 'le courtier de messages est muet depuis {silentS}',
  },
  names: { 'record-set-aside': 'journal mis de côté', 'link-silent': 'courtier muet' },
  guidance: {
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
  },
};

const own: Readonly<Record<string, OwnWords>> = { en, de, fr };

/** A language with the host's own words in it; English where it has none. */
export function withOwnWords(language: Language): Language {
  const words = own[language.code] ?? en;
  return {
    ...language,
    sentences: { ...words.sentences, ...language.sentences },
    names: { ...words.names, ...language.names },
    guidance: { ...words.guidance, ...language.guidance },
  };
}
