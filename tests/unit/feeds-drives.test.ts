import { describe, expect, it } from 'vitest';
import { type DriveReply, openDrives } from '../../daemon/drives';
import type { Command } from '../../lib/engine/types';
import { driveMappingSchema, parseCommand } from '../../lib/wire';
import { fakeLink } from '../tools/fake-link';
import { orchardStill } from '../tools/orchard';

function command(more: Partial<Command> = {}): Command {
  return {
    id: 'c1',
    drive: 'heater',
    value: 1,
    issuedAtS: 100,
    ttlS: 10,
    repeat: false,
    safe: false,
    reason: { code: 'phase', numbers: {} },
    ...more,
  };
}
function open(drives: Record<string, object>, isOnline = true) {
  const fake = fakeLink();
  fake.online = isOnline;
  const parsed = Object.fromEntries(
    Object.entries(drives).map(([id, mqtt]) => [id, { mqtt: driveMappingSchema.parse(mqtt) }]),
  );
  const opened = openDrives({
    still: orchardStill(),
    drives: parsed,
    link: fake.link,
    nowIso: () => '2026-03-14T10:22:31.000Z',
    wordsOf: (reason) => `because of ${reason.code}`,
  });
  const replies: DriveReply[] = [];
  opened.replies.subscribe((reply) => replies.push(reply));
  return { fake, opened, replies };
}

describe('drives', () => {
  it('are told in our own form on our own topic, with the reason in words', () => {
    const { fake, opened } = open({ heater: {} });
    expect(opened.send(command())).toBe('sent');
    const [sent] = fake.sent;
    expect(sent).toMatchObject({ how: 'command', topic: 'middlecut/orchard/drive/heater/set' });
    expect(parseCommand(sent?.payload ?? '')).toEqual({
      id: 'c1',
      value: 1,
      issuedAt: '2026-03-14T10:22:31.000Z',
      ttlS: 10,
      reason: 'because of phase',
    });
  });

  it('are not told while offline, and never with the kept flag', () => {
    const { fake, opened } = open({ heater: { topic: 'cmnd/box/POWER1', on: 'ON', off: 'OFF' } }, false);
    expect(opened.send(command())).toBe('offline');
    expect(fake.sent).toEqual([]);
    fake.online = true;
    opened.send(command({ value: 0 }));
    expect(fake.sent).toEqual([{ how: 'command', topic: 'cmnd/box/POWER1', payload: 'OFF' }]);
  });

  it('are set up each time the link comes up', () => {
    const setup = [{ topic: 'cmnd/box/PulseTime1', payload: '130' }];
    const { fake, opened } = open({ heater: { topic: 'cmnd/box/POWER1', on: 'ON', off: 'OFF', setup } });
    expect(fake.sent.map((one) => one.payload)).toEqual(['130']);
    fake.events.next({ kind: 'status', status: 'offline' });
    fake.events.next({ kind: 'status', status: 'online' });
    expect(fake.sent.map((one) => one.payload)).toEqual(['130', '130']);
    opened.close();
    fake.events.next({ kind: 'status', status: 'online' });
    expect(fake.sent.length).toBe(2);
  });

  it('tell a refusal by the id of the command, and pass over answers to others', () => {
    const reply = { topic: 'middlecut/rpc-heater/rpc', errorPath: 'error.message' };
    const { fake, opened, replies } = open({ heater: { topic: 'x/rpc', template: { id: '{id}', on: '{on}' }, reply } });
    opened.send(command({ id: 'orchard-41' }));
    fake.say(reply.topic, '{"id":"orchard-40","result":{}}');
    fake.say(reply.topic, '{"id":"orchard-41","error":{"code":-105,"message":"not found"}}', true);
    fake.say(reply.topic, '{"id":"orchard-41","error":{"code":-105,"message":"not found"}}');
    fake.say(reply.topic, '{"id":"orchard-41","result":{"was_on":false}}');
    fake.say(reply.topic, 'rubbish');
    expect(replies).toEqual([
      { drive: 'heater', id: 'orchard-41', error: 'not found' },
      { drive: 'heater', id: 'orchard-41', error: null },
    ]);
  });

  it('know nothing of a drive that has no mapping', () => {
    expect(open({}).opened.send(command())).toBe('unknown-drive');
  });
});
