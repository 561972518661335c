import { join } from 'node:path';
import type { Node, NodeAPI, NodeDef, NodeMessage } from 'node-red';
import type { DeriveOptions } from '../../lib/jars';
import { english } from '../../lib/words';
import { isStillNode, type StillNode } from '../shared/config-nodes';
import { entryLogIn } from '../shared/entry-log';
import { createJarDesk, type JarDesk, type JarDeskSetup, recipeMessage, sheetMessage } from '../shared/jar-desk';

interface JarSheetDef extends NodeDef {
  readonly still?: string;
  readonly sheetName?: string;
  readonly charge?: string;
  readonly chargeL?: string | number;
  readonly chargeVolPercent?: string | number;
  readonly heaterW?: string | number;
  readonly strengthReading?: 'as-read' | 'true';
  readonly strengthBasis?: '20C' | '60F';
  readonly foreshotsJars?: string | number;
  readonly headsBy?: 'share' | 'temperature';
  readonly tailsBy?: 'temperature' | 'strength' | 'share';
  readonly headsCut?: 'automatic' | 'ask';
  readonly insist?: '' | 'span' | 'longest';
}

function headerOf(def: JarSheetDef, stillNode: StillNode | null): JarDeskSetup['header'] {
  const still = stillNode?.checked.value ?? null;
  const probe = Object.values(still?.points ?? {}).find((point) => point.kind === 'vapour-temp');
  const heaterW = Number(def.heaterW);
  return {
    name: def.sheetName || 'Development run',
    still: {
      name: still?.name ?? 'Still',
      ...(still === null ? {} : { id: still.id, kind: still.kind, holdUpL: still.spout.holdUpL }),
    },
    charge: {
      volumeL: Number(def.chargeL),
      strengthVolPercent: Number(def.chargeVolPercent),
      ...(def.charge ? { what: def.charge } : {}),
    },
    ...(heaterW > 0 ? { heaterW } : {}),
    ...(probe === undefined
      ? {}
      : { probe: { resolutionK: probe.resolution ?? 0.1, accuracyK: probe.accuracy ?? 0.2 } }),
    ...(still?.altitudeM === undefined ? {} : { airPressure: { altitudeM: still.altitudeM } }),
    strength: { reading: def.strengthReading ?? 'as-read', basis: def.strengthBasis ?? '20C' },
    foreshotsJars: def.foreshotsJars === undefined || def.foreshotsJars === '' ? 1 : Number(def.foreshotsJars),
  };
}

function deriveOptions(def: JarSheetDef): DeriveOptions {
  return {
    headsBy: def.headsBy ?? 'share',
    tailsBy: def.tailsBy ?? 'temperature',
    headsCut: def.headsCut ?? 'automatic',
    ...(def.insist ? { insist: def.insist } : {}),
  };
}

function showCount(node: Node, desk: JarDesk, RED: NodeAPI): void {
  const count = desk.history?.sheet.jars.length ?? 0;
  node.status({
    fill: 'grey',
    shape: 'ring',
    text: RED._('middlecut-jar-sheet.status.jars', { count: String(count) }),
  });
}

export = function register(RED: NodeAPI): void {
  function JarSheet(this: Node, def: JarSheetDef): void {
    RED.nodes.createNode(this, def);
    const found = RED.nodes.getNode(def.still ?? '');
    const stillNode = isStillNode(found) ? found : null;
    const saying = stillNode?.saying ?? english;
    const desk = createJarDesk({
      header: headerOf(def, stillNode),
      derive: deriveOptions(def),
      log: entryLogIn(join(RED.settings.userDir ?? '.', 'middlecut', `jars-${def.id}.jsonl`)),
      saying,
      isoNow: () => new Date().toISOString(),
    });
    if (desk.damage !== null) this.warn(RED._('middlecut-jar-sheet.status.damage', { why: desk.damage }));
    showCount(this, desk, RED);

    this.on('input', (message, send, done) => {
      const outcome = desk.take(message);
      switch (outcome.kind) {
        case 'bad':
          done(new Error(outcome.why));
          return;
        case 'sheet':
          send([{ ...message, ...sheetMessage(outcome.history) } as NodeMessage, null]);
          break;
        case 'recipe':
          send([null, { ...message, ...recipeMessage(outcome.derivation, outcome.warnings, saying) } as NodeMessage]);
          break;
        default:
      }
      showCount(this, desk, RED);
      done();
    });
  }

  RED.nodes.registerType('middlecut-jar-sheet', JarSheet);
};
