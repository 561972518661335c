import type { Language } from '../../lib/words';

/** What the host says of itself, beside the engine's reasons; English where a language has no words of its own for it. */
const own: Language['sentences'] = {
  'alarm.normal': 'normal',
  'alarm.record-failing': 'the record cannot be written: {failure}',
  'guidance.record-failing.what':
    'Nothing more can be written down. Until it can, no cut is made, no receiver is switched and no heat is raised; a run that wants any of it is held. Heat off, coolant on and stop still work.',
  'guidance.record-failing.do':
    'See to the disk: make room, or give the daemon the right to write there. Then resume the run. Until then watch the still by hand.',
  'alarm.record-set-aside': 'the record was damaged and set aside as {file}; a new one was begun: {rescued}',
  'guidance.record-set-aside.what':
    'The file of the record was damaged when the daemon started. It was kept under another name, and a new record begun.',
  'guidance.record-set-aside.do':
    'Look at the still: what the record says of it may be old. Resume the run if it was taken over, else see it through by hand. Keep a copy of the damaged file.',
  'alarm.link-silent': 'the broker was not heard for {silentS}',
  'guidance.link-silent.what':
    'The link to the broker was gone for so long that the heater has switched itself off, or soon will. The run is held, so that heat does not come back with the link.',
  'guidance.link-silent.do':
    'Find out why the link was lost: broker, network, power. Look at the still, then order resume.',
};

/** A language with the host's own words in it. */
export function withOwnWords(language: Language): Language {
  return { ...language, sentences: { ...own, ...language.sentences } };
}
