// Keeps the page on the device, so that it opens without a network after the first visit. Written when the page is
// built: FILES holds every file of the page with the hash that it must have, VERSION a hash of them all.
// A new version waits until the page is loaded again and no other window shows the old one, so that a page never mixes
// files of two versions.
const FILES = new Map(/* every file with its hash */);
const VERSION = '';

const SCOPE = self.registration.scope;
// Several copies of the page may live on one origin, each below a path of its own.
const OURS = `countlight ${SCOPE} `;
const CACHE = OURS + VERSION;

const addressOf = (href) => {
  const url = new URL(href);
  const whole = url.origin + url.pathname;
  if (!whole.startsWith(SCOPE)) {
    return null;
  }
  const address = whole.slice(SCOPE.length);
  return address === '' || address === 'index.html' ? './' : address;
};

const keepAll = async () => {
  const cache = await caches.open(CACHE);
  const requests = [...FILES].map(([address, integrity]) => new Request(address, { integrity, cache: 'no-cache' }));
  await cache.addAll(requests);
};

const dropOld = async () => {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(OURS) && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  await self.clients.claim();
};

const answer = async (address, request) => {
  const cache = await caches.open(CACHE);
  return (await cache.match(address)) ?? fetch(request);
};

const takeOver = async (port) => {
  const windows = await self.clients.matchAll({ includeUncontrolled: true, type: 'window' });
  const alone = windows.filter((window) => window.url.startsWith(SCOPE)).length <= 1;
  if (alone) {
    await self.skipWaiting();
  }
  port?.postMessage(alone);
};

self.addEventListener('install', (event) => event.waitUntil(keepAll()));
self.addEventListener('activate', (event) => event.waitUntil(dropOld()));
self.addEventListener('fetch', (event) => {
  const address = addressOf(event.request.url);
  if (event.request.method === 'GET' && FILES.has(address)) {
    event.respondWith(answer(address, event.request));
  }
});
self.addEventListener('message', (event) => {
  if (event.data === 'take over') {
    event.waitUntil(takeOver(event.ports[0]));
  }
});
