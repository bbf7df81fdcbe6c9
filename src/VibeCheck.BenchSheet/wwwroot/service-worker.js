// Caches the files of the sheet, so that it opens without a network. The build writes the list service-worker-assets.js with the hash of
// every file; a new list gets a new cache, which is filled completely before it is used.
importScripts('service-worker-assets.js');

const prefix = 'vibecheck-sheet-';
const name = prefix + self.assetsManifest.version;
const files = self.assetsManifest.assets.filter(file => !/^(service-worker|job\.json)/.test(file.url) && !/\.(br|gz)$/.test(file.url));
const own = new Set(files.map(file => new URL(file.url, self.location).href));
const page = new URL('index.html', self.location).href;

// The page has just loaded nearly all of them. They come from the browser's own cache where their hash matches, so nothing is loaded twice.
async function loaded(file) {
  try {
    const kept = await fetch(file.url, { integrity: file.hash, cache: 'force-cache' });
    if (kept.ok) { return kept; }
  } catch { }
  const response = await fetch(file.url, { integrity: file.hash, cache: 'reload' });
  if (!response.ok) { throw new Error(file.url + ': ' + response.status); }
  return response;
}

self.addEventListener('install', event => event.waitUntil((async () => {
  const cache = await caches.open(name);
  for (const file of files) {
    await cache.put(file.url, await loaded(file));
  }

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
