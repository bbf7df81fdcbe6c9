// Keeps the files of the sheet, so that it opens without a network. The list service-worker-assets.js is written by the build,
// with the hash of every file; a new list is a new cache, filled whole before it is used.
importScripts('service-worker-assets.js');

const prefix = 'vibecheck-sheet-';
const name = prefix + self.assetsManifest.version;
const files = self.assetsManifest.assets.filter(file => !/^(service-worker|job\.json)/.test(file.url) && !/\.(br|gz)$/.test(file.url));
const own = new Set(files.map(file => new URL(file.url, self.location).href));
const page = new URL('index.html', self.location).href;

self.addEventListener('install', event => event.waitUntil((async () => {
  const cache = await caches.open(name);
  await cache.addAll(files.map(file => new Request(file.url, { integrity: file.hash, cache: 'no-cache' })));
  await self.skipWaiting();
})()));

self.addEventListener('activate', event => event.waitUntil((async () => {
  for (const old of await caches.keys()) {
    if (old.startsWith(prefix) && old !== name) { await caches.delete(old); }
  }
  await self.clients.claim();
})()));

self.addEventListener('fetch', event => {
  const url = event.request.url.split(/[?#]/)[0];
  const wanted = event.request.mode === 'navigate' && url === new URL('./', self.location).href ? page : url;
  if (event.request.method === 'GET' && own.has(wanted)) {
    event.respondWith((async () => (await (await caches.open(name)).match(wanted)) ?? fetch(event.request))());
  }
});
