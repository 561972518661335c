import type { Node, NodeAPI } from 'node-red';
import { type StationDef, workStation } from '../shared/station-node';
import { trouble } from '../shared/troubles';

export = function register(RED: NodeAPI): void {
  function WatchNode(this: Node, def: StationDef): void {
    RED.nodes.createNode(this, def);
    workStation(RED, this, def, {
      watchOnly: true,
      commands: [],
      from: 'still',
      offer: () => ({ recipe: null, variant: null, charge: null, unusable: null }),
      quietAtClose: true,
      recipe: () => trouble('recipe-fixed', ''),
      isSame: () => true,
      outputs: ['alarms', 'state'],
    });
  }

  RED.nodes.registerType('middlecut-watch', WatchNode);
};
