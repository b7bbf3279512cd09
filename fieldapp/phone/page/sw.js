// Keeps the whole app for use without signal, one version at a time. What is kept of jobs lies
// elsewhere (the worker's own file system) and is never touched here.
const VERSION = "THE_VERSION";
const FILES = THE_FILES; // path -> sha256, base64
// Two shapes of one library: a browser loads one of them, and tells which when it registers.
const DRAWN_BY = { chromium: "canvaskit/chromium/", full: "canvaskit/canvaskit." };
const variant = new URL(self.location.href).searchParams.get("draws");
const unused = Object.keys(DRAWN_BY).filter((name) => name !== variant).map((name) => DRAWN_BY[name]);
const wanted = Object.keys(FILES).filter((path) => !variant || !unused.some((start) => path.startsWith(start)));

const FAMILY = `farend ${new URL(self.registration.scope).pathname} `;
const OURS = FAMILY + VERSION + (variant ? ` ${variant}` : "");
const LIST = "kept-files"; // put last: a cache with it is whole
const at = (path) => new URL(path, self.registration.scope).href;

async function older() {
  const found = [];
  for (const name of await caches.keys()) {
    if (!name.startsWith(FAMILY) || name === OURS) continue;
    const cache = await caches.open(name);
    const list = await cache.match(at(LIST));
    if (list) found.push([cache, await list.json()]);
  }
  return found;
}

async function keep(cache, path, others) {
  for (const [other, list] of others) {
    if (list[path] !== FILES[path]) continue;
    const same = await other.match(at(path));
    if (same) return cache.put(at(path), same);
  }
  const request = new Request(at(path), { integrity: `sha256-${FILES[path]}`, cache: "no-cache" });
  const response = await fetch(request);
  if (!response.ok) throw new Error(`${path}: ${response.status}`);
  return cache.put(at(path), response);
}

async function install() {
  const cache = await caches.open(OURS);
  if (await cache.match(at(LIST))) return;
  const others = await older();
  const left = [...wanted];
  const one = async () => {
    for (let path = left.shift(); path !== undefined; path = left.shift()) await keep(cache, path, others);
  };
  await Promise.all([one(), one(), one(), one()]);
  await cache.put(at(LIST), new Response(JSON.stringify(FILES)));
}

self.addEventListener("install", (event) => event.waitUntil(install()));

self.addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) {
    if (name.startsWith(FAMILY) && name !== OURS) await caches.delete(name);
  }
  await self.clients.claim();
})()));

// Only a person's tap lets a new version take over.
self.addEventListener("message", (event) => { if (event.data === "go") self.skipWaiting(); });

async function answer(request) {
  const url = new URL(request.url);
  url.search = "";
  url.hash = "";
  const cache = await caches.open(OURS);
  const isHome = request.mode === "navigate" && url.href === at("");
  const held = await cache.match(isHome ? at("index.html") : url.href);
  return held || fetch(request);
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const isOurs = request.method === "GET" && request.url.startsWith(self.registration.scope);
  if (isOurs) event.respondWith(answer(request));
});
