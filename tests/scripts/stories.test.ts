import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ruleOfAlarm } from '../../lib';
import { alarmsOf } from '../../lib/alarms/life-cycle';
import { Story, StoryError } from '../tools/story';
import { parseScript, play, type Script } from '../tools/story-lines';

const names = readdirSync(__dirname)
  .filter((file) => file.endsWith('.story'))
  .sort();

function scriptOf(file: string): Script {
  return parseScript(readFileSync(join(__dirname, file), 'utf8'), file);
}

/** Plays lines in their time; a line without one follows at once. */
function tell(story: Story, lines: Script['lines'], file: string, fromS = story.now): void {
  for (const { number, atS, text } of lines) {
    try {
      if (atS !== null) {
        if (fromS + atS < story.now) throw new StoryError(`it is ${story.now - fromS} s already`);
        story.pass(fromS + atS - story.now);
      }
      play(story, text);
    } catch (error) {
      if (!(error instanceof StoryError)) throw error;
      throw new StoryError(`${file}:${number}: ${text}: ${error.message} (${story.now - fromS} s into the story)`);
    }
  }
  expect(story.broken, file).toEqual([]);
}

const isHeatOff = (text: string) => /^expect heat off/.test(text);

/** The lines up to and with the first that has the heat off; null where a story never goes that far. */
function untilHeatOff(script: Script): Script['lines'] | null {
  const at = script.lines.findIndex(({ text }) => isHeatOff(text));
  return at < 0 ? null : script.lines.slice(0, at + 1);
}

function isHeated(story: Story): boolean {
  return Object.entries(story.run.drives).some(
    ([id, memory]) => story.plant.still.drives[id]?.kind === 'heat' && memory.value !== 0,
  );
}

/** What usually comes along with a fault. Each is tried with every story that ends with the heat off. */
const companions: Readonly<Record<string, (story: Story, lines: Script['lines'], file: string) => void>> = {
  link(story, lines, file) {
    tell(story, lines, file);
    for (const line of ['link lost', 'wait 70 s', 'link back', 'expect heat off for 3 min']) play(story, line);
  },
  power(story, lines, file) {
    tell(story, lines, file);
    for (const line of ['power cut', 'wait 60 s', 'power back', 'expect heat off for 3 min']) play(story, line);
    expect(story.run.state).not.toBe('running');
  },
  // Somebody who acknowledges everything at once and orders resume all the time.
  acknowledge(story, lines, file) {
    play(story, 'operator acknowledges everything');
    const acts = lines.filter(({ text }) => !/^(expect|order (?!cut|hold))/.test(text));
    tell(story, acts, file);
    let heatedAgainst = '';
    for (let second = 0; second < 900; second += 1) {
      story.step();
      const tripping = Object.keys(story.run.alarms).find(
        (id) => story.run.alarms[id]?.active && ruleOfAlarm(id)?.interlock === 'heat-off',
      );
      if (tripping !== undefined && isHeated(story)) heatedAgainst = `${tripping} at ${story.now}`;
    }
    expect(heatedAgainst).toBe('');
  },
  // Everything is silenced beforehand: shelved and out of service.
  silenced(story, lines, file) {
    for (const { id } of alarmsOf(story.plant)) {
      story.give('shelve', { target: id, forS: 20_000 });
      story.give('out-of-service', { target: id });
    }
    story.step();
    tell(story, lines, file);
    expect(
      story.events.filter(
        (event) => event.kind === 'alarm' && event.announced !== false && event.transition === 'raised',
      ),
    ).toEqual([]);
  },
};

describe('stories', () => {
  for (const file of names) {
    const script = scriptOf(file);
    describe(file.replace('.story', '').replaceAll('-', ' '), () => {
      it(script.about, () => {
        expect(script.lines.length).toBeGreaterThan(1);
        tell(new Story(script.still, script.begin), script.lines, file);
      });
      const upToHeatOff = untilHeatOff(script);
      for (const [companion, along] of Object.entries(companions)) {
        if (upToHeatOff === null || script.alone.includes(companion)) continue;
        it(`the same, and ${along === companions.acknowledge ? 'an operator who acknowledges everything' : companion}`, () => {
          const story = new Story(script.still, script.begin);
          along(story, upToHeatOff, file);
          expect(story.broken).toEqual([]);
        });
      }
    });
  }
});
