/** What a broker keeps must have a bound: anybody who may publish could otherwise fill the memory. */
export interface RetainedBound {
  /** Notes a message to be kept; false where there is no room for it. */
  readonly admit: (topic: string, bytes: number) => boolean;
}

export function createRetainedBound(maxTopics: number, maxBytes: number): RetainedBound {
  const sizes = new Map<string, number>();
  let total = 0;
  return {
    admit: (topic, bytes) => {
      const before = sizes.get(topic) ?? 0;
      if (bytes === 0) {
        sizes.delete(topic);
        total -= before;
        return true;
      }
      const size = bytes + topic.length;
      const isNew = !sizes.has(topic);
      if ((isNew && sizes.size >= maxTopics) || total - before + size > maxBytes) return false;
      sizes.set(topic, size);
      total += size - before;
      return true;
    },
  };
}
