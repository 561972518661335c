/** Where one is, by the address. */

/** @param {string | undefined} text */
function decoded(text) {
  try {
    return text === undefined || text === '' ? null : decodeURIComponent(text);
  } catch {
    return null;
  }
}

/** @returns {{ kind: string, id: string | null }} */
export function placeNow() {
  const [, kind = '', id] = location.hash.split('/');
  return { kind: kind === 'jars' || kind === 'runs' ? kind : 'still', id: decoded(id) };
}

export const isStillView = () => placeNow().kind === 'still';

/** The still shown: as the address says, else the first. @param {import('./live.js').Live} live */
export function stillShown({ order }) {
  const { kind, id } = placeNow();
  return kind === 'still' && id !== null && order.includes(id) ? id : order[0];
}
