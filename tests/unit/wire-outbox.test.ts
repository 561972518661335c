import { describe, expect, it } from 'vitest';
import type { LinkEvent } from '../../daemon/link';
import { createOutbox, type Outgoing } from '../../daemon/link/outbox';

function make(limits: { maxInFlight?: number; maxEvents?: number; maxRetained?: number } = {}) {
  const events: LinkEvent[] = [];
  const sent: Outgoing[] = [];
  const acknowledge: (() => void)[] = [];
  let nowMs = 0;
  const outbox = createOutbox({
    maxInFlight: limits.maxInFlight ?? 20,
    maxEvents: limits.maxEvents ?? 10,
    maxRetained: limits.maxRetained ?? 10,
    report: (event) => events.push(event),
    nowMs: () => nowMs,
  });
  const send = (message: Outgoing, done: () => void) => {
    sent.push(message);
    acknowledge.push(done);
  };
  const said = () => sent.map((one) => `${one.topic}=${one.payload}`);
  return {
    outbox,
    events,
    sent,
    said,
    acknowledge,
    send,
    attach: () => outbox.attach(send),
    wait: (ms: number) => (nowMs += ms),
  };
}

describe('outbox', () => {
  it('sends no command while offline, neither then nor later', () => {
    const { outbox, events, sent, attach } = make();
    expect(outbox.command('valve/set', 'open', 10_000)).toBe('offline');
    attach();
    expect(sent).toEqual([]);
    expect(events).toEqual([{ kind: 'command-lost', topic: 'valve/set', why: 'offline' }]);
  });

  it('does not send a command again that a lost link may have swallowed', () => {
    const { outbox, events, said, attach } = make();
    attach();
    outbox.command('valve/set', 'open', 10_000);
    outbox.detach();
    attach();
    expect(said()).toEqual(['valve/set=open']);
    expect(events).toEqual([{ kind: 'command-lost', topic: 'valve/set', why: 'link-lost' }]);
  });

  it('keeps at most twenty unacknowledged, commands first', () => {
    const { outbox, sent, said, acknowledge, attach } = make({ maxEvents: 100 });
    attach();
    for (let i = 0; i < 40; i += 1) outbox.event('event', String(i));
    expect(sent.length).toBe(20);
    expect(outbox.command('heater/set', '0', 10_000)).toBe('waiting');
    acknowledge[0]?.();
    expect(said().at(-1)).toBe('heater/set=0');
  });

  it('drops a command that has waited past its time to live, and overtakes an older one to the same drive', () => {
    const { outbox, events, said, acknowledge, attach, wait } = make({ maxInFlight: 1 });
    attach();
    outbox.event('event', 'first');
    outbox.command('valve/set', 'open', 1000);
    outbox.command('heater/set', '1', 5000);
    outbox.command('heater/set', '0', 5000);
    wait(2000);
    acknowledge[0]?.();
    expect(said()).toEqual(['event=first', 'heater/set=0']);
    expect(events).toEqual([{ kind: 'command-lost', topic: 'valve/set', why: 'expired' }]);
  });

  it('says only the latest word of a retained topic, and says it again on a new link', () => {
    const { outbox, said, acknowledge, attach } = make();
    outbox.retain('phase', 'heads');
    outbox.retain('phase', 'hearts');
    attach();
    expect(said()).toEqual(['phase=hearts']);
    acknowledge[0]?.();
    outbox.retain('phase', 'hearts');
    expect(said().length).toBe(1);
    outbox.detach();
    attach();
    expect(said()).toEqual(['phase=hearts', 'phase=hearts']);
  });

  it('keeps events for a link that is away, in order, up to a bound, and says so once', () => {
    const { outbox, events, said, attach } = make({ maxEvents: 3 });
    for (let i = 0; i < 6; i += 1) outbox.event('event', String(i));
    attach();
    expect(said()).toEqual(['event=3', 'event=4', 'event=5']);
    expect(events).toEqual([{ kind: 'overflow', queue: 'events' }]);
  });

  it('repeats an unacknowledged event on the next link, before newer ones', () => {
    const { outbox, said, attach } = make();
    attach();
    outbox.event('event', 'a');
    outbox.detach();
    outbox.event('event', 'b');
    attach();
    expect(said()).toEqual(['event=a', 'event=a', 'event=b']);
  });

  it('bounds the topics on which words stand', () => {
    const { outbox, events } = make({ maxRetained: 2 });
    for (const topic of ['a', 'b', 'c']) outbox.retain(topic, 'x');
    outbox.retain('a', 'y');
    expect(events).toEqual([{ kind: 'overflow', queue: 'retained' }]);
  });

  it('retains nothing but what is to stand', () => {
    const { outbox, sent, attach } = make();
    attach();
    outbox.command('a', '1', 1000);
    outbox.event('b', '1');
    outbox.passing('c', '1');
    outbox.retain('d', '1');
    expect(sent.map((one) => [one.topic, one.retain, one.qos])).toEqual([
      ['a', false, 1],
      ['b', false, 1],
      ['c', false, 0],
      ['d', true, 1],
    ]);
  });

  it('is not confused by an acknowledgement that comes after the link has gone', () => {
    const { outbox, acknowledge, attach } = make();
    attach();
    outbox.event('event', 'a');
    outbox.detach();
    acknowledge[0]?.();
    expect(outbox.idle()).toBe(false);
  });
});
