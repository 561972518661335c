import { describe, expect, it } from 'vitest';
import {
  filterCovers,
  filterMatches,
  isPlainTopic,
  isTopicFilter,
  parseTopic,
  showTopic,
  type Topic,
  topicFacts,
  topicsOf,
} from '../../lib/wire';

describe('topics', () => {
  const topics = topicsOf('orchard');

  it('stand below one root, by still', () => {
    expect(topics.state).toBe('middlecut/orchard/state');
    expect(topics.orderAnswer).toBe('middlecut/orchard/order/answer');
    expect(topics.point('vapour')).toBe('middlecut/orchard/point/vapour');
    expect(topics.driveSet('heater')).toBe('middlecut/orchard/drive/heater/set');
    expect(topics.driveState('heater')).toBe('middlecut/orchard/drive/heater/state');
    expect(topics.alarm('coolant-lost')).toBe('middlecut/orchard/alarm/coolant-lost');
  });

  it('are understood again, every kind of them', () => {
    for (const kind of Object.keys(topicFacts) as Topic['kind'][]) {
      const topic = (
        topicFacts[kind].path.includes('<') ? { kind, still: 'orchard', name: 'x-1' } : { kind, still: 'orchard' }
      ) as Topic;
      expect(parseTopic(showTopic(topic))).toEqual(topic);
    }
  });

  it('are not found in anything else', () => {
    for (const text of [
      '',
      'middlecut',
      'middlecut/orchard',
      'other/orchard/state',
      'middlecut/orchard/point',
      'middlecut/orchard/point/',
      'middlecut/orchard/drive/a/b/set',
      'middlecut/Orchard/state',
      'middlecut/orchard/point/<point>',
      'middlecut/orchard/*',
      'middlecut/orchard/point/+',
      'middlecut/orchard/drive/*/set',
    ]) {
      expect(parseTopic(text), text).toBeNull();
    }
  });

  it('let an alarm name the point it is about, and nothing else do so', () => {
    expect(parseTopic(topics.alarm('probe-lost:vapour'))).toEqual({
      kind: 'alarm',
      still: 'orchard',
      name: 'probe-lost:vapour',
    });
    expect(parseTopic('middlecut/orchard/point/a:b')).toBeNull();
    expect(() => topics.alarm('a:b:c')).toThrow('assertion');
  });

  it('take no name that could leave its place', () => {
    expect(() => topicsOf('a/b')).toThrow('assertion');
    expect(() => topics.point('+')).toThrow('assertion');
  });

  it('retain no command and no order', () => {
    expect(topicFacts['drive-set'].retained).toBe(false);
    expect(topicFacts.order.retained).toBe(false);
    expect(topicFacts.phase.retained).toBe(true);
  });
});

describe('topic filters', () => {
  // The examples of MQTT 3.1.1 (OASIS), sections 4.7.1 and 4.7.2.
  it('match as the standard says', () => {
    expect(filterMatches('sport/tennis/player1/#', 'sport/tennis/player1')).toBe(true);
    expect(filterMatches('sport/tennis/player1/#', 'sport/tennis/player1/score/wimbledon')).toBe(true);
    expect(filterMatches('sport/tennis/+', 'sport/tennis/player1/ranking')).toBe(false);
    expect(filterMatches('sport/+', 'sport')).toBe(false);
    expect(filterMatches('sport/+', 'sport/')).toBe(true);
    expect(filterMatches('+/+', '/finance')).toBe(true);
    expect(filterMatches('+', '/finance')).toBe(false);
    expect(filterMatches('#', '$SYS/broker')).toBe(false);
    expect(filterMatches('$SYS/#', '$SYS/broker')).toBe(true);
  });

  it('are checked for wildcards out of place', () => {
    for (const good of ['#', '+', 'a/+/b', 'a/#', '/', 'a//b']) expect(isTopicFilter(good), good).toBe(true);
    for (const bad of ['', 'a#', 'a/#/b', 'a+', 'a/b+/c', 'a\0b']) expect(isTopicFilter(bad), bad).toBe(false);
    expect(isPlainTopic('a/+')).toBe(false);
  });

  it('cover one another only where every match is one', () => {
    expect(filterCovers('middlecut/#', 'middlecut/+/state')).toBe(true);
    expect(filterCovers('middlecut/+/state', 'middlecut/#')).toBe(false);
    expect(filterCovers('middlecut/+/state', 'middlecut/orchard/state')).toBe(true);
    expect(filterCovers('middlecut/orchard/state', 'middlecut/+/state')).toBe(false);
    expect(filterCovers('#', '$SYS/#')).toBe(false);
    expect(filterCovers('a/#', 'a')).toBe(true);
  });
});
