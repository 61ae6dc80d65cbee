// Puts the service together from its capabilities. It never listens; api/main.ts and the tests do.
import { join } from 'node:path';
import compression from 'compression';
import express, { type Express, type RequestHandler } from 'express';
import helmet from 'helmet';
import { z } from 'zod';
import { DOCS_STYLE, docsPageOf } from './http/docs-page.ts';
import { guardOrigin } from './http/guard.ts';
import { openApiOf } from './http/openapi.ts';
import { type Deps, defineRoute, type Route } from './http/route.ts';
import { sendRefusal } from './http/send.ts';
import { catchFailures, serveRoutes } from './http/serve.ts';
import { routes as capabilityRoutes } from './routes.ts';

export interface AppDeps extends Deps {
  /** Where the built front ends are; null where none is served. */
  readonly staticFolders: { readonly web: string; readonly scanner: string } | null;
  /** Names besides localhost under which this service may be asked. */
  readonly ownNames: readonly string[];
}

const securedPages = helmet({
  contentSecurityPolicy: {
    useDefaults: false,
    directives: {
      defaultSrc: ["'self'"],
      // The decoder is WebAssembly.
      scriptSrc: ["'self'", "'wasm-unsafe-eval'"],
      workerSrc: ["'self'"],
      imgSrc: ["'self'", 'blob:', 'data:'],
      mediaSrc: ["'self'", 'blob:'],
      connectSrc: ["'self'"],
      objectSrc: ["'none'"],
      baseUri: ["'none'"],
      frameAncestors: ["'none'"],
      formAction: ["'self'"],
    },
  },
  // Plain http on loopback; a promise of https would lock the browser out.
  strictTransportSecurity: false,
  crossOriginEmbedderPolicy: false,
});

// Data is shown in no page, frame or script of a browser; these say so (OWASP REST Security Cheat Sheet). The others are
// for pages, and their kilobyte in each answer was a tenth of what a scan costs.
const securedData = helmet({
  contentSecurityPolicy: {
    useDefaults: false,
    directives: { defaultSrc: ["'none'"], frameAncestors: ["'none'"] },
  },
  strictTransportSecurity: false,
  crossOriginEmbedderPolicy: false,
  crossOriginOpenerPolicy: false,
  originAgentCluster: false,
  xDnsPrefetchControl: false,
  xDownloadOptions: false,
  xPermittedCrossDomainPolicies: false,
  xXssProtection: false,
});

const health = defineRoute({
  method: 'get',
  path: '/api/health',
  summary: 'Says that the service serves.',
  tag: 'Service',
  answers: { 200: z.strictObject({ status: z.literal('serving') }) },
  handle: async (_given, { connections }) => {
    await connections.sql`select 1`;
    return { status: 200, body: { status: 'serving' } };
  },
});

const time = defineRoute({
  method: 'get',
  path: '/api/time',
  summary: 'The service’s clock in UTC milliseconds: a device measures its own against it.',
  tag: 'Service',
  answers: { 200: z.strictObject({ at: z.int() }) },
  handle: async (_given, { clock }) => ({ status: 200, body: { at: clock() } }),
});

/** Every route of the service, in the order in which the document shows them. */
export const ROUTES: readonly Route[] = [health, time, ...capabilityRoutes];

function serveDocs(app: Express): void {
  const document = JSON.stringify(openApiOf(ROUTES));
  const page = docsPageOf(ROUTES);
  app.get('/api/openapi.json', (_req, res) => void res.type('application/json').send(document));
  app.get('/api/docs/style.css', (_req, res) => void res.type('css').send(DOCS_STYLE));
  app.get('/api/docs', (_req, res) => void res.type('html').send(page));
}

// Built files carry their hash in their name and never change; pages and the service worker are asked for each time.
const setCaching = (res: { setHeader: (name: string, value: string) => void }, path: string): void => {
  const lasting = /[\\/]assets[\\/]/.test(path);
  res.setHeader('cache-control', lasting ? 'public, max-age=31536000, immutable' : 'no-cache');
};

/** A page of the front end for every address that is none of its files. */
const pageOf = (folder: string): RequestHandler => {
  const page = join(folder, 'index.html');
  return (req, res, next) => {
    if (req.method !== 'GET' && req.method !== 'HEAD') return next();
    if (/\.\w+$/.test(req.path) || !req.accepts('html')) return next();
    res.set('cache-control', 'no-cache').sendFile(page, (error) => (error ? next() : undefined));
  };
};

function serveFrontEnds(app: Express, folders: NonNullable<AppDeps['staticFolders']>): void {
  const options = { setHeaders: setCaching, redirect: false, index: false };
  app.get('/scan', (req, res, next) => (req.path === '/scan' ? res.redirect(308, '/scan/') : next()));
  app.use('/scan', express.static(folders.scanner, options), pageOf(folders.scanner));
  app.use(express.static(folders.web, options), pageOf(folders.web));
}

/** Builds the app. The same one is used in tests and in production. */
export function buildApp(deps: AppDeps): Express {
  const app = express();
  app.disable('x-powered-by').set('query parser', 'simple').set('etag', false);
  app.use(guardOrigin(deps.ownNames));
  app.use('/api', securedData);
  serveRoutes(app, ROUTES, deps);
  app.use(securedPages, compression());
  serveDocs(app);
  app.use('/api', (_req, res) => sendRefusal(res, { kind: 'no-such-address' }));
  if (deps.staticFolders) serveFrontEnds(app, deps.staticFolders);
  app.use((_req, res) => sendRefusal(res, { kind: 'no-such-address' }));
  app.use(catchFailures(deps));
  return app;
}
