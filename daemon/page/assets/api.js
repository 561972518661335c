/** Talking to the daemon. Every answer is JSON; refusals carry why. */

export class Refused extends Error {
  /**
   * @param {number} status 0 where nothing was heard at all
   * @param {readonly string[]} why
   * @param {unknown} body
   */
  constructor(status, why, body) {
    super(why.join('\n'));
    this.status = status;
    this.why = why;
    this.body = body;
  }
}

const waitMs = 12_000;

/**
 * @param {string} path
 * @param {unknown} [body] sent by POST; without one it is a GET
 * @param {{ keepalive?: boolean }} [options]
 * @returns {Promise<any>}
 */
export async function call(path, body, options = {}) {
  const request = {
    method: body === undefined ? 'GET' : 'POST',
    headers: body === undefined ? {} : { 'Content-Type': 'application/json' },
    credentials: /** @type {const} */ ('same-origin'),
    cache: /** @type {const} */ ('no-store'),
    signal: AbortSignal.timeout(waitMs),
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    ...options,
  };
  let response;
  try {
    response = await fetch(`api/${path}`, request);
  } catch {
    throw new Refused(0, ['no connection'], null);
  }
  /** @type {any} */
  const answer = await response.json().catch(() => null);
  if (response.ok) return answer;
  if (response.status === 401) dispatchEvent(new Event('logged-out'));
  const why = Array.isArray(answer?.why) ? answer.why.map(String) : [`${response.status} ${response.statusText}`];
  throw new Refused(response.status, why, answer);
}
