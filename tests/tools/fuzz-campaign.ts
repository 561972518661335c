import { readFileSync } from 'node:fs';
import mqtt, { type MqttClient } from 'mqtt';
import { garbageOrder, garbageReading } from './garbage';
import type { LiveRun } from './live-run';
import { wait } from './live-run';
import { randomOf } from './random';
import { valves } from './stillroom';

export interface FuzzResult {
  readonly payloads: number;
  readonly orders: number;
  readonly tookS: number;
  /** Memory of the daemon [MB]: before, at its most, and afterwards. */
  readonly residentMB: { readonly before: number; readonly most: number; readonly after: number };
  readonly events: number;
  readonly refusals: number;
  /** Whatever is not as it must be, in words. */
  readonly complaints: readonly string[];
}

export interface FuzzOptions {
  readonly run: LiveRun;
  readonly url: string;
  readonly id?: string;
  readonly count: number;
  readonly seed: number;
  /** Share of orders among the payloads. */
  readonly orderShare: number;
  /** Payloads a second at the most. */
  readonly perS: number;
  readonly told?: (sent: number, residentMB: number) => void;
}

export function residentMB(pid: number | undefined): number {
  return Number(readFileSync(`/proc/${pid}/status`, 'utf8').match(/VmRSS:\s+(\d+)/)?.[1] ?? Number.NaN) / 1024;
}

async function sendAll(client: MqttClient, options: FuzzOptions, sent: (count: number) => void): Promise<number> {
  const { id = 'test-pot', count, orderShare, perS } = options;
  const chance = randomOf(options.seed);
  const places = ['vapour', 'vapour', 'air', 'nowhere'].map((point) => `probes/${id}/${point}`);
  const startMs = performance.now();
  let orders = 0;
  const batch = 100;
  for (let from = 0; from < count; from += batch) {
    const waiting: Promise<unknown>[] = [];
    for (let at = from; at < Math.min(count, from + batch); at += 1) {
      const isOrder = chance.uniform() < orderShare;
      const topic = isOrder ? `middlecut/${id}/order` : (places[Math.floor(chance.uniform() * places.length)] ?? '');
      if (isOrder) orders += 1;
      const retain = chance.uniform() < 0.02;
      const qos = chance.uniform() < 0.05 ? 1 : 0;
      const payload = isOrder ? garbageOrder(chance) : garbageReading(chance);
      if (qos === 1) waiting.push(client.publishAsync(topic, payload, { qos, retain }));
      else client.publish(topic, payload, { qos, retain });
    }
    await Promise.all(waiting);
    const aheadMs = ((from + batch) / perS) * 1000 - (performance.now() - startMs);
    if (aheadMs > 0) await wait(aheadMs);
    sent(Math.min(count, from + batch));
  }
  return orders;
}

/** Throws garbage at a daemon in the middle of its work, and looks whether anything moved, broke or grew. */
export async function throwGarbage(options: FuzzOptions): Promise<FuzzResult> {
  const { run, url } = options;
  const { room } = run;
  const client = await mqtt.connectAsync(url, { reconnectPeriod: 0 });
  const pid = run.daemon().child.pid;
  const startMs = performance.now();
  const before = residentMB(pid);
  const phase = room.state()?.phase;
  const stood = new Map(valves.map((valve) => [valve, room.stands.get(valve)]));
  const wasHot = room.heater.isOn;
  const known = { commands: room.commands.length, heard: room.heard.length };
  const complaints: string[] = [];
  let most = before;
  const orders = await sendAll(client, options, (sent) => {
    if (run.daemon().child.exitCode !== null) return;
    if (sent % 1000 !== 0) return;
    const now = residentMB(pid);
    most = Math.max(most, now);
    options.told?.(sent, now);
  });
  await client.endAsync(true);
  const answer = await room.order({ order: 'note', text: 'after the garbage' }, 30_000).catch((error: Error) => error);
  if (answer instanceof Error) complaints.push(answer.message);
  // A flood leaves no allowance for orders: the answer may be that there were too many.
  await wait(1500);
  const last = await room.order({ order: 'note', text: 'and again' }, 10_000).catch((error: Error) => error);
  if (last instanceof Error || !last.accepted) complaints.push(`no note is taken afterwards: ${JSON.stringify(last)}`);
  const after = residentMB(pid);
  for (const { drive, value, id } of room.commands.slice(known.commands)) {
    const isValve = valves.some((valve) => valve === drive);
    if (isValve && value !== stood.get(drive as (typeof valves)[number]))
      complaints.push(`${id}: ${drive} was moved to ${value}`);
    if (drive === 'element' && value !== 0 && !wasHot) complaints.push(`${id}: heat came on`);
  }
  if (room.state()?.phase !== phase) complaints.push(`the phase went from ${phase} to ${room.state()?.phase}`);
  if (run.daemon().child.exitCode !== null) complaints.push(`the daemon ended: ${run.daemon().text().slice(-2000)}`);
  const heard = room.heard.slice(known.heard);
  return {
    payloads: options.count,
    orders,
    tookS: (performance.now() - startMs) / 1000,
    residentMB: { before, most, after },
    events: heard.filter(({ topic }) => topic.endsWith('/event')).length,
    refusals: heard.filter(({ topic, text }) => topic.endsWith('/answer') && text.includes('"accepted":false')).length,
    complaints,
  };
}
