import type { Node, NodeAPI, NodeDef } from 'node-red';
import { showProblem } from '../../lib/problems';
import { english, languages } from '../../lib/words';
import { registerEditorRoutes } from '../shared/admin';
import type { StillNode } from '../shared/config-nodes';
import { asStill, checkFile, checkText } from '../shared/documents';

interface StillDef extends NodeDef {
  readonly source?: 'typed' | 'file';
  readonly document?: string;
  readonly file?: string;
  readonly language?: string;
  readonly temperature?: 'C' | 'F';
  readonly speed?: string | number;
}

/** Simulated time runs at most this many times as fast: a beat every five milliseconds, a second of the still's time each. */
const fastest = 200;

export = function register(RED: NodeAPI): void {
  registerEditorRoutes(RED);

  function Still(this: Node, def: StillDef): void {
    RED.nodes.createNode(this, def);
    const folder = RED.settings.userDir ?? '.';
    const checked =
      def.source === 'file' ? checkFile(def.file ?? '', folder, asStill) : checkText(def.document ?? '', asStill);
    const holders = new Map<string, string>();
    const speed = Number(def.speed);
    const config: Omit<StillNode, keyof Node> = {
      checked,
      saying: {
        language: languages[def.language ?? 'en'] ?? english.language,
        temperature: def.temperature === 'F' ? 'F' : 'C',
      },
      speed: speed >= 1 && speed <= fastest ? speed : 1,
      claim(by, name) {
        const other = [...holders].find(([id]) => id !== by);
        if (other !== undefined) return other[1];
        holders.set(by, name);
        return null;
      },
      release(by) {
        holders.delete(by);
      },
    };
    Object.assign(this, config);
    for (const one of checked.problems) {
      const line = one.line === undefined ? '' : `line ${one.line}: `;
      if (one.severity === 'error') this.error(line + showProblem(one));
      else this.log(line + showProblem(one));
    }
  }

  RED.nodes.registerType('middlecut-still', Still);
};
