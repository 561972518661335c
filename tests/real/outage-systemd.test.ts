import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { feedEveryMs, openSystemd } from '../../daemon/neighbours/systemd';
import { bench, wait } from '../tools/live-run';
import { until } from '../tools/mosquitto';
import { needs } from '../tools/need';
import { openNotifySocket } from '../tools/notify-socket';

const watchdogMs = 1000;

describe.skipIf(!needs('socat') || !needs('mosquitto'))('a daemon that systemd started', () => {
  it('says when it is ready, how it stands, and feeds the watchdog while it scans and no longer', async (context) => {
    const { broker, live, cleanUp } = bench(context);
    const notify = await openNotifySocket();
    cleanUp.push(notify.close);
    const { url } = await broker();
    const { room, daemon, heat, start } = await live({ url, speed: 5 });
    start({ env: { NOTIFY_SOCKET: notify.path, WATCHDOG_USEC: String(watchdogMs * 1000) } });
    const lines = () => notify.heard().map(({ line }) => line);
    await until('ready', () => lines().includes('READY=1'), 10_000);
    await heat();
    await until('status', () => lines().includes('STATUS=Test pot: running, heads'));
    const feeds = () => notify.heard().filter(({ line }) => line === 'WATCHDOG=1');
    const fromMs = performance.now();
    await wait(2500);
    const gaps = feeds()
      .filter(({ atMs }) => atMs > fromMs)
      .map(({ atMs }, index, all) => atMs - (all[index - 1]?.atMs ?? fromMs));
    expect(gaps.length).toBeGreaterThan(5);
    expect(Math.max(...gaps)).toBeLessThan(watchdogMs);
    daemon().child.kill('SIGSTOP');
    await wait(100);
    const before = feeds().length;
    await wait(1500);
    expect(feeds().length).toBe(before);
    daemon().child.kill('SIGCONT');
    await until('fed again', () => feeds().length > before);
    expect(await daemon().end('SIGTERM')).toBe(0);
    expect(lines()).toContain('STOPPING=1');
    expect(room.heater.isOn).toBe(false);
  });

  it('has its watchdog fed only once every still was scanned', async () => {
    const notify = await openNotifySocket();
    const systemd = openSystemd({
      environment: { ...process.env, NOTIFY_SOCKET: notify.path, WATCHDOG_USEC: '40000' },
      pid: process.pid,
      stills: ['left', 'right'],
      nowMs: () => performance.now(),
      complain: (message) => expect(message).toBe(''),
    });
    systemd.ready();
    await until('ready', () => notify.heard().some(({ line }) => line === 'READY=1'));
    for (let turn = 0; turn < 20; turn += 1) {
      systemd.scanned(['left']);
      await wait(20);
    }
    const feeds = () => notify.heard().filter(({ line }) => line === 'WATCHDOG=1').length;
    expect(feeds()).toBe(0);
    for (let turn = 0; turn < 20; turn += 1) {
      systemd.scanned(['right']);
      await wait(20);
      systemd.scanned(['left']);
    }
    await until('fed', () => feeds() > 10);
    systemd.close();
    notify.close();
  });
});

describe.skipIf(!needs('systemd'))('the unit that comes with the daemon', () => {
  const folder = mkdtempSync(join(tmpdir(), 'middlecut-unit-'));
  const unit = readFileSync(join(__dirname, '..', '..', 'daemon', 'install', 'middlecut.service'), 'utf8');
  const file = join(folder, 'middlecut.service');
  writeFileSync(file, unit.replace('/usr/bin/middlecut', process.execPath));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const analyze = (...args: readonly string[]) => spawnSync('systemd-analyze', args, { encoding: 'utf8' });

  it('is understood by systemd, every line of it', () => {
    const { status, stderr } = analyze('verify', file);
    expect(stderr).toBe('');
    expect(status).toBe(0);
  });

  it('leaves the daemon little to do harm with', () => {
    // systemd's own scale from 0 to 10: 2.0 is given as 20.
    expect(analyze('security', '--offline=yes', '--threshold=20', file).status).toBe(0);
  });

  it('keeps two daemons from fighting: who was displaced is not started again', () => {
    expect(unit).toMatch(/^RestartPreventExitStatus=75$/m);
    expect(unit).toMatch(/^Type=notify$/m);
    expect(unit).toMatch(/^NotifyAccess=all$/m);
  });
});

describe('the watchdog of systemd', () => {
  it('is fed four times as often as it bites, and only where it is ours', () => {
    expect(feedEveryMs({ WATCHDOG_USEC: '20000000' }, 7)).toBe(5000);
    expect(feedEveryMs({ WATCHDOG_USEC: '20000000', WATCHDOG_PID: '7' }, 7)).toBe(5000);
    expect(feedEveryMs({ WATCHDOG_USEC: '20000000', WATCHDOG_PID: '8' }, 7)).toBeNull();
    expect(feedEveryMs({ WATCHDOG_USEC: '0' }, 7)).toBeNull();
    expect(feedEveryMs({ WATCHDOG_USEC: 'soon' }, 7)).toBeNull();
    expect(feedEveryMs({}, 7)).toBeNull();
  });
});

describe.skipIf(!needs('mosquitto'))('the end of a daemon', () => {
  it.concurrent.for(['SIGTERM', 'SIGINT', 'SIGHUP'] as const)(
    'by %s tells the heat off and holds the run',
    async (signal, context) => {
      const { expect } = context;
      const { heated } = bench(context);
      const { room, daemon } = await heated({ speed: 5 });
      expect(await daemon().end(signal)).toBe(0);
      await until('heat off by command', () => room.commands.findLast(({ drive }) => drive === 'element')?.value === 0);
      expect(room.heater).toMatchObject({ isOn: false, deadManTrips: 0 });
      await until('held', () => room.state()?.state === 'held');
      await until('gone', () =>
        room.heard.some(({ topic, text }) => topic.endsWith('/online') && text.includes('offline')),
      );
    },
  );

  it.concurrent('is not that nobody reads its log any more', async (context) => {
    const { expect } = context;
    const { heated } = bench(context);
    const { room, daemon } = await heated({ speed: 5 });
    daemon().child.stderr?.destroy();
    daemon().child.stdout?.destroy();
    for (let note = 0; note < 5; note += 1) {
      expect(await room.order({ order: 'note', text: 'into the log' })).toMatchObject({ accepted: true });
      await wait(100);
    }
    await wait(1000);
    expect(room.state()).toMatchObject({ state: 'running', phase: 'heads' });
    expect(room.heater).toMatchObject({ isOn: true, deadManTrips: 0 });
    expect(await daemon().end('SIGTERM')).toBe(0);
    await until('heat off by command', () => room.commands.findLast(({ drive }) => drive === 'element')?.value === 0);
  });

  it.concurrent('by an error nobody caught tells the heat off and the coolant on before it goes, with 70', async (context) => {
    const { expect } = context;
    const { broker, live } = bench(context);
    const { url } = await broker();
    const { room, daemon, heat, start, folder } = await live({ url, speed: 5 });
    // A mistake in a timer or a callback, anywhere: outside of the scan.
    const mistake = join(folder, 'mistake.cjs');
    writeFileSync(mistake, "process.on('SIGUSR2', () => setTimeout(() => { throw new Error('a mistake'); }, 1));");
    start({ env: { NODE_OPTIONS: `--require ${mistake}` } });
    await heat();
    const before = room.commands.length;
    daemon().child.kill('SIGUSR2');
    expect(await daemon().exited).toBe(70);
    expect(daemon().text()).toMatch(/ERROR fault of the program, heat is told off: Error: a mistake/);
    await until('heat off', () => room.commands.findLast(({ drive }) => drive === 'element')?.value === 0);
    const after = room.commands.slice(before).map(({ drive, value }) => `${drive} ${value}`);
    expect(after.slice(after.indexOf('element 0') - 1, after.indexOf('element 0') + 1)).toEqual([
      'coolant 1',
      'element 0',
    ]);
    expect(room.heater.deadManTrips).toBe(0);
  });
});
