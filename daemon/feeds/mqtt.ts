import { EMPTY, from, merge, mergeMap, type Observable, of } from 'rxjs';
import { type JsonPath, parsePath, readAvailability, readPayload } from '../../lib/wire';
import type { Availability, MqttFeed } from '../config/feeds-schema';
import type { Message } from '../link';
import { type FeedReading, readingsOf, type Transport } from './types';

function pathOf(text: string | undefined): JsonPath | null {
  const parsed = text === undefined ? null : parsePath(text);
  return parsed?.kind === 'ok' ? parsed.path : null;
}

function availabilityOf(availability: Availability) {
  if (typeof availability === 'string') return { topic: availability, mapping: { path: null } };
  const { topic, path, online, offline } = availability;
  const words = { ...(online === undefined ? {} : { online }), ...(offline === undefined ? {} : { offline }) };
  return { topic, mapping: { path: pathOf(path), ...words } };
}

/** Readings on an MQTT topic. While the device says that it is gone, what the broker had kept of it is no reading. */
export const mqttTransport: Transport<MqttFeed> = {
  what: 'MQTT topics',
  open: (point, feed, { link }) => {
    let isGone = false;
    const read = (message: Message): Observable<FeedReading> => {
      const { payload, retained, arrivalMs } = message;
      if (payload === null) return of({ point: point.id, value: null, fault: 'too-large', arrivalMs });
      if (retained && isGone) return of({ point: point.id, value: null, fault: 'offline', arrivalMs });
      return from(readingsOf(readPayload(payload, point.mapping, { retained }), point.id, arrivalMs));
    };
    const readings = link.messages(feed.topic, feed.qos).pipe(mergeMap(read));
    if (feed.availability === undefined) return readings;
    const { topic, mapping } = availabilityOf(feed.availability);
    const absences = link.messages(topic, 1).pipe(
      mergeMap(({ payload, arrivalMs }): Observable<FeedReading> => {
        const isThere = payload === null ? null : readAvailability(payload, mapping);
        if (isThere !== null) isGone = !isThere;
        return isThere === false ? of({ point: point.id, value: null, fault: 'offline', arrivalMs }) : EMPTY;
      }),
    );
    // The absence is subscribed first, so that its kept word is there before the kept reading.
    return merge(absences, readings);
  },
};
