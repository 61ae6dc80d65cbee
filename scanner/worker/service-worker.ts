// Keeps the phone page on the phone: every built file from the first visit on, so that it opens with no network. It
// never touches /api. A new version waits until no page is open or a page says so; nothing is dropped under anyone.
declare const self: ServiceWorkerGlobalScope;

/** Written in front of this file by the build. */
declare const BUILT: { readonly version: string; readonly files: readonly string[] };

const PREFIX = 'tailcount-scan-';
const CACHE = `${PREFIX}${BUILT.version}`;
const SCOPE = new URL(self.registration.scope).pathname;
const PAGE = `${SCOPE}index.html`;

async function keepFiles(): Promise<void> {
  const cache = await caches.open(CACHE);
  // All or nothing: a version of which one file is missing never comes into use.
  await cache.addAll(BUILT.files.map((file) => new Request(`${SCOPE}${file}`, { cache: 'no-cache' })));
}

async function dropOlder(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(
    names.filter((name) => name.startsWith(PREFIX) && name !== CACHE).map((name) => caches.delete(name)),
  );
  await self.clients.claim();
}

async function answer(request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  const exact = await cache.match(request, { ignoreSearch: true });
  // Every address of the phone page is the one page.
  const kept = exact ?? (request.mode === 'navigate' ? await cache.match(PAGE) : undefined);
  // Phones may throw a cache away; with a network the page still works.
  return kept ?? fetch(request);
}

self.addEventListener('install', (event) => event.waitUntil(keepFiles()));
self.addEventListener('activate', (event) => event.waitUntil(dropOlder()));
self.addEventListener('message', (event) => {
  if (event.data === 'take-over') event.waitUntil(self.skipWaiting());
});
self.addEventListener('fetch', (event) => {
  const { origin, pathname } = new URL(event.request.url);
  if (event.request.method !== 'GET' || origin !== self.location.origin || !pathname.startsWith(SCOPE))
    return;
  event.respondWith(answer(event.request));
});

export {};
