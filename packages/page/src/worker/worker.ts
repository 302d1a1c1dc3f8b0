/// <reference lib="webworker" />
// Keeps the page on the device, so that it opens where the server is not reached. What the page asks the server for is none of
// its business: jobs that were seen, and what waits to be stored, are kept by the page itself.

import { deferral } from '@ferrule/print/deferral';

declare const self: ServiceWorkerGlobalScope;
/** Where every file of this build of the page is, and what it is called by; put in by the build. */
declare const FILES: readonly string[];
declare const BUILD: string;

const PREFIX = 'ferrule-page ';
const here = `${PREFIX}${BUILD}`;
/** The address of the page itself; which screen it shows stands behind the #, which is not sent. */
const PAGE = '/';
/** What is printed. It opens in a tab of its own, which cannot send the token that a page was told. */
const PAPERS =
  /^\/(?:jobs\/[^/]+\/card|packs\/[^/]+\/[^/]+\/(?:sheet|comparison)|rejudgings\/[^/]+\/report|spread)$/;
/** How long pages may take to say their token, in milliseconds. */
const ANSWER = 1000;
/** How long the server may take to send the page before the kept one is shown, in milliseconds. */
const PATIENCE = 3000;

self.addEventListener('install', (event) => {
  event.waitUntil(keepThisBuild().then(() => self.skipWaiting()));
});

self.addEventListener('activate', (event) => {
  event.waitUntil(dropOldBuilds().then(() => self.clients.claim()));
});

self.addEventListener('fetch', (event) => {
  const { method, url, mode } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== 'GET' || origin !== self.location.origin) return;
  if (mode === 'navigate' && pathname === PAGE) event.respondWith(newestPage(event.request));
  else if (mode === 'navigate' && PAPERS.test(pathname)) event.respondWith(paper(event.request));
  else if (FILES.includes(pathname) || pathname.startsWith('/page/assets/'))
    event.respondWith(keptOrSent(event.request));
});

/** Every file of this build, or none: half a page opens nothing. */
async function keepThisBuild(): Promise<void> {
  const cache = await caches.open(here);
  await cache.addAll(FILES.map((file) => new Request(file, { cache: file === PAGE ? 'reload' : 'default' })));
}

/** Goes through the builds that are kept, the oldest first: a page of the one before may still be open, and may load more of it. */
async function dropOldBuilds(): Promise<void> {
  const others = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== here);
  await Promise.all(others.slice(0, -1).map((name) => caches.delete(name)));
}

/** The page as the server has it now, or else as it was kept. */
async function newestPage(request: Request): Promise<Response> {
  const kept = await keptUnder(PAGE, { cacheName: here });
  if (kept === undefined) return fetch(request);
  const sent = fetch(request, { signal: AbortSignal.timeout(PATIENCE) });
  return sent.then(
    (answer) => (answer.ok ? answer : kept),
    () => kept,
  );
}

/** Names of files change with their contents, so what is kept under a name is as good as what the server would send. */
const keptOrSent = async (request: Request): Promise<Response> =>
  (await keptUnder(request.url, { ignoreVary: true })) ?? fetch(request);

/** What is kept under an address; nothing where the browser no longer lets it be read, since the server can still be asked. */
const keptUnder = (url: string, options: MultiCacheQueryOptions): Promise<Response | undefined> =>
  caches.match(url, options).catch(() => undefined);

/** A paper, asked for as the pages that are open here would ask for it. */
async function paper(request: Request): Promise<Response> {
  const token = await tokenOfPages();
  const asked =
    token === undefined
      ? request
      : new Request(request.url, { headers: { accept: 'text/html', authorization: `Bearer ${token}` } });
  return fetch(asked).catch(() => notReached());
}

/** The token that one of the open pages was told; it is asked for anew each time, and kept nowhere. */
async function tokenOfPages(): Promise<string | undefined> {
  const pages = await self.clients.matchAll({ type: 'window' });
  const answers = pages.map(
    (page) =>
      new Promise<string>((done, none) => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = ({ data }) => (typeof data === 'string' ? done(data) : none());
        page.postMessage('token', [port2]);
      }),
  );
  const nobody = new Promise<undefined>((done) => setTimeout(done, ANSWER));
  return Promise.race([Promise.any(answers).catch(() => undefined), nobody]);
}

const notReached = (): Response =>
  new Response(
    `<!doctype html><html lang="en"><meta charset="utf-8"><title>Not reached</title><p>The server is not reached. Cards and sheets are made there: open this one again when it is reached.</p><p>${deferral}</p></html>`,
    {
      status: 503,
      headers: {
        'content-type': 'text/html; charset=utf-8',
        'content-security-policy': "default-src 'none'",
      },
    },
  );
