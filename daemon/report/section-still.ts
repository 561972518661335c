import { type PointKind, pointKinds } from '../../lib/still/schema';
import { type Saying, sayName, showDuration } from '../../lib/words';
import { html, type Insert, type Markup } from './html';
import { foreign, paragraph, section, table } from './parts';
import { sayCondition, sayGuard } from './said';
import { nothing, showNumber, showPercent, showVolume } from './show';
import type { RunStory } from './story';
import type { Wording } from './words';

/** The recipe as it was run, and the still with its probes and their calibrations. */
export function sectionsStill(story: RunStory, wording: Wording): Insert {
  return [recipeSection(story, wording), probeSection(story, wording)];
}

function recipeSection(story: RunStory, wording: Wording): Markup | null {
  const { words, saying } = wording;
  const { recipe } = story.run.plant;
  if (recipe === null) return null;
  const rows = recipe.phases.map((step): Insert[] => {
    const guard = sayGuard(step, wording);
    return [
      sayName(step.phase, saying),
      html`${foreign(sayCondition(step.endsWhen, recipe.referencePressureHPa, wording))}${guard !== '' && html`<span class="below">${guard}</span>`}`,
      showDuration(step.holdS, saying),
      step.cut === 'ask' ? words.cutAsk : words.cutAutomatic,
      `${showPercent(step.heatShare, saying, 0)} %`,
    ];
  });
  const columns = [
    { head: words.phase },
    { head: words.endsWhen, kind: 'wide' },
    { head: words.held, kind: 'figure' },
    { head: words.cut },
    { head: words.heat, kind: 'figure' },
  ] as const;
  const exact = html`<details><summary>${words.exactRecipe}</summary><pre>${JSON.stringify(recipe, null, 1)}</pre></details>
`;
  return section('recipe', words.recipeAsRun, table(columns, rows), exact);
}

function sayKind(kind: PointKind, saying: Saying): string {
  const name = sayName(kind, saying);
  return name === kind ? pointKinds[kind].what : name;
}

function sayCalibration(
  point: RunStory['run']['plant']['still']['points'][string],
  { words, saying }: Wording,
): Insert {
  if (point.calibration === undefined) return words.uncalibrated;
  const { gain, offset, uncertainty, doneOn } = point.calibration;
  const sign = offset < 0 ? '\u2212' : '+';
  const formula = `${showNumber(gain, 4, saying)} × ${sign} ${showNumber(Math.abs(offset), 3, saying)}`;
  const error = uncertainty > 0 ? ` ± ${showNumber(uncertainty, 3, saying)}` : '';
  return html`${formula}${error}${doneOn !== undefined && html` ${words.calibrated} ${foreign(doneOn)}`}`;
}

function probeSection(story: RunStory, wording: Wording): Markup {
  const { words, saying } = wording;
  const { still } = story.run.plant;
  const rows = Object.entries(still.points).map(([id, point]): Insert[] => [
    id,
    sayKind(point.kind, saying),
    point.resolution === undefined ? nothing : String(point.resolution),
    sayCalibration(point, wording),
    String(story.told.lapses[id] ?? 0),
  ]);
  const columns = [
    { head: words.point },
    { head: words.measures },
    { head: words.resolution, kind: 'figure' },
    { head: words.calibration, kind: 'wide' },
    { head: words.lapses, kind: 'figure' },
  ] as const;
  const about = `${still.name}: ${words.boilerVolume} ${showVolume(still.boilerVolumeL, saying)} L, ${words.heel} ${showVolume(still.heelL, saying)} L`;
  return section(
    'still',
    words.probes,
    paragraph(foreign(about)),
    table(columns, rows),
    paragraph(words.lapsesNote, 'note'),
  );
}
