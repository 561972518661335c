import type { Saying } from '../../lib/words';
import type { Stored } from '../store';
import type { CourseFrom, HandRun } from './compared-run';
import { sectionCompared } from './comparison';
import { html, Markup, oneLine } from './html';
import { paragraph } from './parts';
import { sectionPlots, sectionsCuts } from './section-course';
import { sectionHead } from './section-head';
import { sectionRecord } from './section-record';
import { sectionsStill } from './section-still';
import { sectionDecisions, sectionsTold } from './section-told';
import { sectionsYield } from './section-yield';
import { type RecordReader, type RunStory, readStory } from './story';
import { style } from './style';
import { wordingOf } from './words';

export interface ReportOptions {
  readonly saying: Saying;
  /** When the report is made, for its last line [ms since 1970]. */
  readonly madeAtMs: number;
  /** Where the courses may come from that it is compared by; only from what is kept unless said otherwise. */
  readonly compare?: CourseFrom;
  readonly handRun?: HandRun;
  /** Walk along the hash chain; true unless said otherwise. */
  readonly verify?: boolean;
}

/** Nothing is loaded and nothing runs, whatever a name tries. */
const policy = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/** The report of a story: one HTML file with its styles and plots inside it. */
export function reportOf(story: RunStory, options: ReportOptions): string {
  const wording = wordingOf(options.saying);
  const { words, saying } = wording;
  const title = oneLine(`${words.runRecord} ${story.run.runId}`);
  return html`<!doctype html>
<html lang="${saying.language.code}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="referrer" content="no-referrer">
<title>${title}</title>
<style>${new Markup(style)}</style>
</head>
<body>
${sectionHead(story, wording)}
<main>
${sectionPlots(story, wording)}${sectionsYield(story, wording)}${sectionsCuts(story, wording)}${sectionCompared(story.beside, wording)}${sectionsTold(story, wording)}${sectionsStill(story, wording)}${sectionDecisions(story, wording)}${sectionRecord(story, options.madeAtMs, wording)}
</main>
<footer>${paragraph(words.caution, 'note')}</footer>
</body>
</html>
`.text;
}

/** Reads a run from its record and makes its report. */
export function makeReport(journal: RecordReader, runId: string, options: ReportOptions): Stored<string> {
  const story = readStory(journal, runId, {
    verify: options.verify ?? true,
    minutes: true,
    compare: options.compare ?? 'kept',
    ...(options.handRun === undefined ? {} : { handRun: options.handRun }),
  });
  return story.kind === 'ok' ? { kind: 'ok', value: reportOf(story.value, options) } : story;
}
