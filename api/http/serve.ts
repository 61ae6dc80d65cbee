// Puts routes into an Express app: reads what was asked, lets the route answer, and turns every failure into a problem.
import { randomUUID } from 'node:crypto';
import type { ErrorRequestHandler, Express, Request, RequestHandler, Response } from 'express';
import { isDatabaseAway } from '../database/state.ts';
import { readBody } from './body.ts';
import { readIfMatch } from './etag.ts';
import type { Answer, Deps, Route } from './route.ts';
import { sendAnswer, sendRefusal } from './send.ts';

async function answerTo(req: Request, res: Response, route: Route, deps: Deps): Promise<Answer> {
  if (deps.databaseState() === 'down') return { refusal: { kind: 'database-down' } };
  const ifMatch = readIfMatch(req.headers['if-match']);
  if (route.edits && ifMatch === null) return { refusal: { kind: 'if-match-missing' } };
  const read = await readBody(req, res, route);
  if ('refusal' in read) return read;
  return route.answer({ params: req.params, query: req.query, body: read.body, ifMatch: ifMatch ?? 0 }, deps);
}

function checkAnswer(route: Route, answer: Answer): void {
  if (!('body' in answer)) return;
  const schema = route.answers[answer.status];
  if (!schema) throw new Error(`${route.method} ${route.path} does not say that it answers ${answer.status}`);
  schema.parse(JSON.parse(JSON.stringify(answer.body)));
}

/** The handler of one route. A database that went away is 503 whether it goes before or in the middle. */
function handlerOf(route: Route, deps: Deps): RequestHandler {
  return async (req, res) => {
    const answer = await answerTo(req, res, route, deps);
    if (deps.checkAnswers) checkAnswer(route, answer);
    await sendAnswer(req, res, answer);
  };
}

const expressPathOf = (path: string) => path.replace(/\{(\w+)\}/g, ':$1');

/** Adds the routes, and for each address a 405 that names what it takes. */
export function serveRoutes(app: Express, routes: readonly Route[], deps: Deps): void {
  for (const route of routes) app[route.method](expressPathOf(route.path), handlerOf(route, deps));
  for (const path of new Set(routes.map((route) => route.path))) {
    const allow = routes.filter((route) => route.path === path).map((route) => route.method);
    app.all(expressPathOf(path), (_req, res) => sendRefusal(res, { kind: 'method-not-allowed', allow }));
  }
}

/** The only catch for the wire: what nobody expected is a bare 500, its details in the log. */
export function catchFailures(deps: Deps): ErrorRequestHandler {
  return (error, req, res, next) => {
    if (res.headersSent) return next(error);
    if (isDatabaseAway(error)) return sendRefusal(res, { kind: 'database-down' });
    const status: unknown =
      typeof error === 'object' && error !== null && 'status' in error ? error.status : 0;
    if (typeof status === 'number' && status >= 400 && status < 500) {
      return sendRefusal(res, { kind: 'not-acceptable-request', status });
    }
    const requestId = randomUUID();
    deps.log.error({ requestId, method: req.method, path: req.path, err: error }, 'a request failed');
    sendRefusal(res, { kind: 'internal', requestId });
  };
}
