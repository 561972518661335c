import { filterCovers, filterMatches, parseTopic, topicFacts, topicRoot } from '../../lib/wire';
import type { LoadedUser } from '../config/broker-secrets';
import type { Role } from '../config/schema';

/** What a role may do on our own topics; on all other topics see `elsewhere`. */
interface RoleRights {
  readonly publish: readonly string[];
  readonly subscribe: readonly string[];
  /** Topics that are not ours: those of devices. */
  readonly elsewhere: { readonly publish: boolean; readonly subscribe: boolean };
}

const everything = `${topicRoot}/#`;

/** The same table stands in the documentation as permissions for an external broker. */
export const roleRights: Readonly<Record<Role, RoleRights>> = {
  reader: { publish: [], subscribe: [everything], elsewhere: { publish: false, subscribe: true } },
  operator: {
    publish: [`${topicRoot}/+/order`],
    subscribe: [everything],
    elsewhere: { publish: false, subscribe: true },
  },
  device: {
    publish: [`${topicRoot}/+/drive/+/state`],
    subscribe: [`${topicRoot}/+/drive/+/set`, `${topicRoot}/+/online`, `${topicRoot}/+/state`, `${topicRoot}/+/phase`],
    elsewhere: { publish: true, subscribe: true },
  },
};

function isOurs(topic: string): boolean {
  return topic === topicRoot || topic.startsWith(`${topicRoot}/`);
}

export function mayPublish(user: LoadedUser, topic: string): boolean {
  if (topic.startsWith('$')) return false;
  if (user.publish !== null) return user.publish.some((filter) => filterMatches(filter, topic));
  const rights = roleRights[user.role];
  return isOurs(topic) ? rights.publish.some((filter) => filterMatches(filter, topic)) : rights.elsewhere.publish;
}

export function maySubscribe(user: LoadedUser, filter: string): boolean {
  if (filter.startsWith('$')) return false;
  if (user.subscribe !== null) return user.subscribe.some((allowed) => filterCovers(allowed, filter));
  const rights = roleRights[user.role];
  if (rights.subscribe.some((allowed) => filterCovers(allowed, filter))) return true;
  // A wildcard in the first place reaches our topics too.
  const reachesOurs = isOurs(filter) || /^[+#]/.test(filter);
  return rights.elsewhere.subscribe && (!reachesOurs || rights.subscribe.includes(everything));
}

/** Topics of ours on which nothing may be kept, whoever publishes: commands, orders, events. */
export function mayRetain(topic: string): boolean {
  const ours = parseTopic(topic);
  return ours === null || topicFacts[ours.kind].retained;
}
