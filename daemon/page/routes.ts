import type { IncomingMessage, ServerResponse } from 'node:http';
import { showProblem } from '../../lib/problems';
import { bodies, parseBody, parseOrderBody } from './bodies';
import { Refusal, readJson, reportPolicy, securityHeaders, send, sendJson } from './reply';
import type { Answer, PageSource, Place } from './source';

/** A request on its way to its answer. */
export interface Call {
  readonly request: IncomingMessage;
  readonly response: ServerResponse;
  readonly url: URL;
  /** The parts of the path in brackets, decoded. */
  readonly parts: readonly string[];
  readonly from: Place;
}

export interface Route {
  readonly method: 'GET' | 'POST';
  readonly path: RegExp;
  readonly answer: (call: Call) => Promise<void> | void;
}

const name = '([A-Za-z0-9][A-Za-z0-9._-]{0,99})';
const at = (path: string) => new RegExp(`^/api/${path.replaceAll('NAME', name)}$`);

function sendAnswer<T>(response: ServerResponse, answer: Answer<T>): void {
  const [status, body] = saidOf(answer);
  sendJson(response, status, body);
}

function saidOf<T>(answer: Answer<T>): readonly [status: number, body: unknown] {
  switch (answer.kind) {
    case 'ok':
      return [200, answer.value];
    case 'unknown':
      return [404, { why: [answer.message] }];
    case 'bad':
      return [400, { why: answer.problems.slice(0, 20).map(showProblem) }];
    case 'conflict':
      return [409, { why: ['changed elsewhere meanwhile'], fields: answer.fields, now: answer.now }];
    case 'failed':
      return [503, { why: [`${answer.message}. ${answer.remedy}.`] }];
  }
}

function found<T>(value: T | null): T {
  if (value === null) throw new Refusal(404, 'there is no such still');
  return value;
}

function stillRoutes(source: PageSource): readonly Route[] {
  return [
    {
      method: 'GET',
      path: at('stills/NAME/trend'),
      answer: ({ response, parts: [still = ''] }) => sendJson(response, 200, found(source.trend(still))),
    },
    {
      method: 'GET',
      path: at('stills/NAME/recipes'),
      answer: ({ response, parts: [still = ''] }) => sendJson(response, 200, found(source.recipes(still))),
    },
    {
      method: 'POST',
      path: at('stills/NAME/start-check'),
      answer: async ({ request, response, parts: [still = ''] }) => {
        const { message } = parseOrderBody(await readJson(request));
        sendJson(
          response,
          200,
          found(source.checkStart(still, message)).map((one) => ({ ...one, said: showProblem(one) })),
        );
      },
    },
    {
      method: 'POST',
      path: at('stills/NAME/orders'),
      answer: async ({ request, response, parts: [still = ''], from }) => {
        const { message, seen } = parseOrderBody(await readJson(request));
        sendJson(response, 200, found(await source.order(still, message, seen, from)));
      },
    },
  ];
}

function runRoutes(source: PageSource): readonly Route[] {
  return [
    {
      method: 'GET',
      path: at('runs'),
      answer: ({ response, url }) => {
        const offset = Number(url.searchParams.get('offset') ?? 0);
        const text = url.searchParams.get('text')?.slice(0, 100);
        sendAnswer(
          response,
          source.runs({
            offset: Number.isSafeInteger(offset) ? offset : 0,
            ...(text === undefined || text === '' ? {} : { text }),
          }),
        );
      },
    },
    {
      method: 'GET',
      path: at('runs/NAME'),
      answer: ({ response, parts: [run = ''] }) => sendAnswer(response, source.run(run)),
    },
    {
      method: 'GET',
      path: at('runs/NAME/trend'),
      answer: ({ response, parts: [run = ''] }) => sendAnswer(response, source.runTrend(run)),
    },
    {
      method: 'GET',
      path: at('runs/NAME/report'),
      answer: ({ response, parts: [run = ''] }) => {
        const report = source.report(run);
        if (report.kind !== 'ok') sendAnswer(response, report);
        else send(response, 200, 'text/html; charset=utf-8', report.value, securityHeaders(reportPolicy));
      },
    },
  ];
}

function sheetRoutes(source: PageSource): readonly Route[] {
  return [
    { method: 'GET', path: at('sheets'), answer: ({ response }) => sendAnswer(response, source.sheets()) },
    {
      method: 'POST',
      path: at('sheets'),
      answer: async ({ request, response }) => {
        const { about, by } = parseBody(bodies.sheet, await readJson(request));
        sendAnswer(response, source.newSheet(about, by));
      },
    },
    {
      method: 'GET',
      path: at('sheets/NAME'),
      answer: ({ response, parts: [sheet = ''] }) => sendAnswer(response, source.sheet(sheet)),
    },
    {
      method: 'POST',
      path: at('sheets/NAME/about'),
      answer: async ({ request, response, parts: [sheet = ''] }) => {
        const saving = parseBody(bodies.about, await readJson(request));
        sendAnswer(response, source.saveSheet(sheet, { kind: 'about' }, saving));
      },
    },
    {
      method: 'POST',
      path: at('sheets/NAME/jar'),
      answer: async ({ request, response, parts: [sheet = ''] }) => {
        const { jar, ...saving } = parseBody(bodies.jar, await readJson(request));
        sendAnswer(response, source.saveSheet(sheet, { kind: 'jar', jar }, saving));
      },
    },
    {
      method: 'POST',
      path: at('sheets/NAME/tasting'),
      answer: async ({ request, response, parts: [sheet = ''] }) => {
        const { jar, taster, ...saving } = parseBody(bodies.tasting, await readJson(request));
        sendAnswer(response, source.saveSheet(sheet, { kind: 'tasting', jar, taster }, saving));
      },
    },
    {
      method: 'POST',
      path: at('sheets/NAME/pouring'),
      answer: async ({ request, response, parts: [sheet = ''] }) => {
        const { order, hidden, by } = parseBody(bodies.pouring, await readJson(request));
        sendAnswer(response, source.pour(sheet, order, hidden, by));
      },
    },
  ];
}

/** Everything that needs a login where there is a password. */
export function routesOf(source: PageSource): readonly Route[] {
  return [...stillRoutes(source), ...runRoutes(source), ...sheetRoutes(source)];
}
