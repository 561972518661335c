import { spawnSync } from 'node:child_process';

/** Debian package → how to tell that it is there. A package not named here is looked for as a program of that name. */
const probes: Record<string, readonly [command: string, ...args: string[]]> = {
  'mosquitto-clients': ['/bin/sh', '-c', 'command -v mosquitto_pub'],
  systemd: ['/bin/sh', '-c', 'command -v systemd-analyze'],
  libfaketime: ['/bin/sh', '-c', 'ls /usr/lib/*/faketime/libfaketime.so.1'],
  'python3-iapws': ['/usr/bin/python3', '-c', 'import iapws'],
  'python3-pymodbus': ['/usr/bin/python3', '-c', 'import pymodbus'],
};

const found = new Map<string, boolean>();

/**
 * Whether a Debian package a test needs is there. If not it says so on the error output, once, so that no test is skipped in silence:
 * `describe.skipIf(!needs('mosquitto'))('…', …)`.
 */
export function needs(debianPackage: string): boolean {
  const known = found.get(debianPackage);
  if (known !== undefined) return known;
  const [command, ...args] = probes[debianPackage] ?? ['/bin/sh', '-c', `command -v ${debianPackage}`];
  const present = spawnSync(command, args, { stdio: 'ignore' }).status === 0;
  found.set(debianPackage, present);
  if (!present) {
    process.stderr.write(
      `\nSKIPPED: a test needs the Debian package ${debianPackage} (apt-get install ${debianPackage})\n\n`,
    );
  }
  return present;
}
