// Keeps the page on the tablet and serves it from there. The build puts the
// list of parts before this text as `manifest`: a version, the policy, and for
// each part its address, SHA-256, length and type. Each version has a store of
// its own, filled wholly and checked before it may be used, so that a page never
// meets parts of two versions.

const prefix = 'maulstick-';
const base = new URL('./', self.location.href);
const address = (part) => new URL(part, base).href;
const own = prefix + manifest.version;
const patience = 60000; // milliseconds without a byte of a part before it is given up

// The headers a kept part is served with.
const carried = [
  'Content-Type', 'Content-Security-Policy', 'X-Content-Type-Options', 'Referrer-Policy', 'Permissions-Policy',
  'Cross-Origin-Opener-Policy', 'Cross-Origin-Resource-Policy',
];

self.addEventListener('install', (event) => event.waitUntil(keepAll()));

async function keepAll() {
  const store = await caches.open(own);
  for (const part of manifest.parts) {
    if (await isKept(store, part)) continue;
    await store.put(address(part.url), await fetchPart(part));
  }
  for (const part of manifest.parts) {
    const kept = await caches.match(address(part.url), { cacheName: own });
    if (!kept) throw new Error(part.url + ' was not kept');
  }
}

// A part that an earlier, broken attempt has kept is not fetched again.
async function isKept(store, part) {
  const kept = await store.match(address(part.url));
  return Boolean(kept) && (await digest(await kept.arrayBuffer())) === part.sha256;
}

async function fetchPart(part) {
  // Many servers answer for the start of the page by its folder alone.
  const place = part.url === 'index.html' ? '' : part.url;
  let wrong;
  // The second time nothing that the browser holds already is trusted.
  for (const cache of ['no-cache', 'reload']) {
    const { response, body } = await fetchWhole(`${address(place)}?v=${manifest.version}`, cache);
    if (response.status !== 200) throw new Error(`${part.url} was answered with ${response.status}`);
    wrong = await faultOf(part, response, body);
    if (!wrong) return new Response(body, { headers: clean(response.headers) });
  }
  throw new Error(part.url + ' ' + wrong);
}

// A server that falls silent half-way through a part is not waited for.
async function fetchWhole(url, cache) {
  const control = new AbortController();
  let timer;
  const wait = () => {
    clearTimeout(timer);
    timer = setTimeout(() => control.abort(), patience);
  };
  wait();
  try {
    const response = await fetch(url, {
      cache, redirect: 'error', credentials: 'same-origin', signal: control.signal,
    });
    const chunks = [];
    const reader = response.body.getReader();
    for (let next = await reader.read(); !next.done; next = await reader.read()) {
      chunks.push(next.value);
      wait();
    }
    return { response, body: await new Blob(chunks).arrayBuffer() };
  } finally {
    clearTimeout(timer);
  }
}

async function faultOf(part, response, body) {
  if (body.byteLength !== part.bytes) return `has ${body.byteLength} bytes in place of ${part.bytes}`;
  if ((await digest(body)) !== part.sha256) return 'is not what the build made';
  const type = response.headers.get('Content-Type') ?? 'no type';
  if (kindOf(type) !== kindOf(part.type)) return `came as ${type} in place of ${part.type}`;
  if (response.headers.get('Content-Security-Policy') !== manifest.policy) return 'came without the policy of the build';
  return '';
}

// A media type without its parameters; scripts have two names (RFC 9239).
function kindOf(type) {
  return type.split(';')[0].trim().toLowerCase().replace(/^application\/javascript$/, 'text/javascript');
}

function clean(headers) {
  const kept = new Headers();
  for (const name of carried) {
    if (headers.has(name)) kept.set(name, headers.get(name));
  }
  return kept;
}

async function digest(bytes) {
  const sum = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return Array.from(sum, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

self.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method === 'POST' && url.href === address('share')) {
    event.respondWith(receive(event.request));
    return;
  }
  if (event.request.method !== 'GET' || !url.href.startsWith(base.href)) return;
  const part = url.pathname.slice(base.pathname.length) || 'index.html';
  const version = url.searchParams.get('v') || manifest.version;
  if (version === manifest.version && !manifest.parts.some(({ url: known }) => known === part)) return;
  event.respondWith(answer(event.request, part, version));
});

// A part comes from the store of the version that the page asking for it has,
// which may be older than this worker. If a store has lost it, the network is
// asked for that very version and refuses any other; only the page itself may
// then come in whatever version there is, since its parts follow it.
async function answer(request, part, version) {
  const kept = await caches.match(address(part), { cacheName: prefix + version }).catch(() => undefined);
  if (kept) return kept;
  if (request.mode === 'navigate' && part === 'index.html') return fetch(request);
  const known = version === manifest.version && manifest.parts.find(({ url }) => url === part);
  if (known) return fetchPart(known);
  return fetch(address(part) + '?v=' + version, { redirect: 'error' });
}

// A file that another program sends to the page is put by until the page takes it,
// with or without a network. The page is told of one that could not be.
async function receive(request) {
  const file = (await request.formData()).get('file');
  if (!(file instanceof File)) return Response.redirect(base.href, 303);
  const name = encodeURIComponent(file.name || 'photograph');
  try {
    await caches.delete('shared-with-maulstick');
    const shelf = await caches.open('shared-with-maulstick');
    await shelf.put(address('shared'), new Response(file));
  } catch (error) {
    console.warn(error);
  }
  return Response.redirect(`${base.href}?shared=${name}`, 303);
}

self.addEventListener('message', (event) => {
  const { kind, version } = event.data;
  if (kind === 'take over') self.skipWaiting();
  else if (version !== manifest.version) return;
  else if (kind === 'claim') event.waitUntil(self.clients.claim());
  else if (kind === 'settled') event.waitUntil(removeOld());
});

// Old versions go once this one has run for a while, but not while a page
// still shows them, nor while a new one is being put by.
async function removeOld() {
  if (self.registration.installing || self.registration.waiting) return;
  const pages = await self.clients.matchAll({ includeUncontrolled: true, type: 'all' });
  const used = pages.map((page) => prefix + new URL(page.url).searchParams.get('v'));
  for (const name of await caches.keys()) {
    if (name.startsWith(prefix) && name !== own && !used.includes(name)) await caches.delete(name);
  }
}
