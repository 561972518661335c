import type { Command, DriveValue } from '../engine/types';
import type { Drive } from '../still/schema';
import { type DriveMapping, formOf, type Placeholder, placeholder, placeholders, type Template } from './drive-mapping';
import type { CommandMessage } from './messages';

type Filling = Readonly<Record<Placeholder, string | number | boolean>>;

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}

function payloadFor(mapping: DriveMapping, value: DriveValue): Template {
  if (typeof value === 'string') return mapping.positions?.[value] ?? value;
  return (value > 0 ? mapping.on : mapping.off) ?? '';
}

function fillingOf(mapping: DriveMapping, drive: Drive, message: CommandMessage): Filling {
  const { value } = message;
  const decimals = mapping.decimals ?? 3;
  return {
    value: typeof value === 'number' ? rounded(value * (mapping.scale ?? 1), decimals) : value,
    percent: typeof value === 'number' ? rounded(value * 100, 1) : value,
    on: typeof value === 'number' ? value > 0 : true,
    id: message.id,
    issuedAt: message.issuedAt,
    ttlS: message.ttlS,
    deadManS: drive.deadManS ?? 0,
    reason: message.reason,
  };
}

/** A member that is one placeholder and nothing else keeps its type: `"{on}"` becomes true, not "true". */
function fillMember(member: unknown, filling: Filling): unknown {
  if (typeof member === 'string') {
    const alone = /^\{(\w+)\}$/.exec(member)?.[1];
    if (alone !== undefined && (placeholders as readonly string[]).includes(alone))
      return filling[alone as Placeholder];
    return member.replace(placeholder, (_, named: Placeholder) => String(filling[named]));
  }
  if (Array.isArray(member)) return member.map((inner) => fillMember(inner, filling));
  if (member === null || typeof member !== 'object') return member;
  return Object.fromEntries(Object.entries(member).map(([key, inner]) => [key, fillMember(inner, filling)]));
}

function fill(written: Template, filling: Filling): string {
  if (typeof written !== 'string') return JSON.stringify(fillMember(written, filling));
  const isJson = /^\s*[{[]/.test(written);
  return written.replace(placeholder, (_, named: Placeholder) => {
    const plain = String(filling[named]);
    // Inside JSON text a reason with a quote in it must not end the string.
    return isJson ? JSON.stringify(plain).slice(1, -1) : plain;
  });
}

/**
 * The payload that tells a device what to do.
 *
 * @param mapping checked by checkDriveMapping
 * @param drive of the still
 * @param message the command with its wall time and its reason in words
 * @param repeat whether it only feeds the dead-man
 */
export function payloadOfCommand(
  mapping: DriveMapping,
  drive: Drive,
  message: CommandMessage,
  repeat: boolean,
): string {
  const filling = fillingOf(mapping, drive, message);
  // A repetition of 'off' is sent in full: a payload made to keep a dead-man fed might say 'on'.
  if (repeat && mapping.repeat !== undefined && message.value !== 0) return fill(mapping.repeat, filling);
  switch (formOf(mapping)) {
    case 'template':
      return fill(mapping.template ?? '', filling);
    case 'tokens':
      return fill(payloadFor(mapping, message.value), filling);
    case 'own':
      return JSON.stringify(message);
  }
}

/** A command with the host's wall time and words added. */
export function messageOfCommand(command: Command, issuedAt: string, reason: string): CommandMessage {
  return { id: command.id, value: command.value, issuedAt, ttlS: command.ttlS, reason };
}
