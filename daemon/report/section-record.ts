import type { Verified } from '../store';
import { html, type Insert, type Markup } from './html';
import { facts, paragraph, section } from './parts';
import { showMoment, showNumber } from './show';
import type { RunStory } from './story';
import type { Wording } from './words';

/** How the chain was found, in words. */
export function sayVerified(verified: Verified | null, { words }: Wording): string {
  if (verified === null) return words.notVerified;
  if (verified.kind === 'whole') return verified.thinned ? words.verifiedThinned : words.verifiedWhole;
  const place = verified.seq === null ? verified.what : `${verified.what} ${verified.seq}`;
  return `${words.verifiedBroken}: ${words.link} ${verified.link} (${place}): ${verified.message}.`;
}

/** What the record holds of the run, and whether it is as it was written. */
export function sectionRecord(story: RunStory, madeAtMs: number, wording: Wording): Markup {
  const { words, saying } = wording;
  const { run, verified } = story;
  const count = (value: number, of: string): string => `${showNumber(value, 0, saying)} ${of}`;
  const head = verified?.kind === 'whole' ? verified.head : run.head;
  const said: Insert = sayVerified(verified, wording);
  return section(
    'record',
    words.record,
    verified?.kind === 'broken' ? html`<p class="warn" role="note">${said}</p>` : paragraph(said),
    paragraph(html`${words.chainHead}: <span class="hash">${head}</span>`),
    facts([
      [words.links, String(run.links)],
      [
        words.record,
        [
          count(run.scans, words.scans),
          count(run.readings, words.readings),
          count(run.decisions, words.decisionsKept),
        ].join(', '),
      ],
      [words.run, run.replayable ? words.replayable : words.notReplayable],
      [words.reportMade, showMoment(madeAtMs)],
    ]),
    paragraph(words.headNote, 'note'),
  );
}
