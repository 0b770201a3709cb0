// Starts the page: looks whether the browser can do what is needed, puts the
// picture's frame in place, and keeps the page for use without a network.
'use strict';

const version = document.documentElement.dataset.version;
const byId = (id) => document.getElementById(id);

// The only scripts that may be started by their address.
const mill = 'mill.js?v=' + version;
const plotter = 'plotter.js?v=' + version;
const darkroom = 'darkroom.js?v=' + version;
const callipers = 'callipers.js?v=' + version;
const scripts = ['sw.js', mill, plotter, darkroom, callipers];
const policy = window.trustedTypes
  ? window.trustedTypes.createPolicy('app', { createScriptURL: onlyOurs })
  : { createScriptURL: onlyOurs };

function onlyOurs(url) {
  if (!scripts.includes(url)) throw new TypeError('not a script of this page: ' + url);
  return url;
}

// A first visit opens on the demo study. While no version of the page is stored
// here it may be one: then the photograph comes and is decoded while the program
// is still on its way. Null where that is not so.
let demo = navigator.serviceWorker?.controller || location.protocol === 'file:' ? null : fetchDemo().catch(() => null);

async function fetchDemo() {
  const response = await fetch('demo.jpg?v=' + version);
  if (!response.ok) return null;
  const buffer = await response.arrayBuffer();
  const [bitmap, sum] = await Promise.all([
    createImageBitmap(new Blob([buffer])),
    window.crypto.subtle?.digest('SHA-256', buffer),
  ]);
  return { buffer, bitmap, sum };
}

// A file that reaches the page from outside waits until the program opens files.
let brought = null;
let opens = false;

const started = {}; // workers by their script
let offered = false;
let asked = false; // the painter has asked for the new version
let registration = null;
const listeners = [];
let stand; // called when the program stands, or has failed to
const standing = new Promise((resolve) => { stand = resolve; });

// One window alone writes studies away: the one that holds the lock, which outlives
// the program in its frame.
let release = null; // gives the lock up, while it is held
let queued = false;
let reader = false; // the program has been told that it may not write
const windows = new BroadcastChannel('maulstick');

// What the program in the frame finds here; it adds its own readings.
window.maulstick = {
  startMill: () => startWorker(mill),
  startPlotter: () => startWorker(plotter),
  startDarkroom: () => startWorker(darkroom),
  startCallipers: () => startWorker(callipers),
  // The demo's photograph, once: a frame loaded anew fetches it itself.
  async takeDemo() {
    const taken = demo;
    demo = null;
    return taken;
  },
  saveFile,
  // Whether the program may write. A page that is just being left gives the lock up
  // a moment after the next one has begun. The waits are counted, not timed: a busy
  // browser is not another page.
  async becomeWriter() {
    if (!navigator.locks) return true;
    reader = false;
    if (!release && !queued) queueToWrite();
    for (let waited = 0; !release && waited < 30; waited++) await pause(100);
    reader = !release;
    byId('key-keep-here').hidden = !reader;
    return !reader;
  },
  // Calls back when a new version of the page is ready, now or later. The program
  // asks for that when it listens to the painter: from then on it opens files.
  whenUpdate(callback) {
    listeners.push(callback);
    if (offered) callback();
    stand();
    opens = true;
    if (brought) bring(brought);
    takeShared();
  },
  useUpdate() {
    asked = true;
    if (registration && registration.waiting) registration.waiting.postMessage({ kind: 'take over' });
    else location.reload();
  },
  // The frame was given no WebGL 2 to draw with: it ends there and then.
  cannotDraw() {
    refuse('no-webgl');
    byId('frame').replaceChildren();
    stand();
  },
  // The program in the frame could not start, or ended.
  failed(reason) {
    if (!byId('no-webgl').hidden) return;
    byId('no-start-text').textContent = 'The page stopped: ' + reason + '.';
    refuse('no-start');
    stand();
  },
};

const pause = (ms) => new Promise((done) => { setTimeout(done, ms); });

// Waits for its turn, for as long as the window is open. A program that was told
// before that it may not write begins anew, with what the other window has kept.
function queueToWrite() {
  queued = true;
  navigator.locks.request('maulstick-writer', () => new Promise((done) => {
    queued = false;
    release = done;
    if (reader) placeFrame();
  }));
}

// The window that writes lets another one write: when all is kept, or cannot be, its
// program ends; only then is the lock given up, and the program begins anew.
async function handOver() {
  for (let waited = 0; !window.maulstick.snapshot?.()?.kept && waited < 30; waited++) await pause(100);
  byId('frame').replaceChildren();
  release();
  release = null;
  placeFrame();
}

windows.addEventListener('message', ({ data }) => {
  if (data === 'hand over' && release) handOver();
});

byId('key-keep-here').addEventListener('click', async ({ target }) => {
  if (!byId('lock').hidden) return;
  target.disabled = true;
  windows.postMessage('hand over');
  for (let waited = 0; !release && waited < 60; waited++) await pause(100);
  target.disabled = false;
  target.textContent = release ? 'Keep it here' : 'The other window does not answer: close it';
});

// A fresh worker; the one before that ran the same script, if any, is given up.
function startWorker(script) {
  if (started[script]) started[script].terminate();
  started[script] = new Worker(policy.createScriptURL(script), { type: 'module' });
  return started[script];
}

// Hands the painter a file: through the share sheet where fingers rule and the
// system takes such files, since downloads get lost on some tablets; else as a
// download.
async function saveFile(name, bytes, type = 'application/json') {
  const file = new File([bytes], name, { type });
  const byHand = window.matchMedia('(pointer: coarse)').matches;
  if (byHand && navigator.canShare && navigator.canShare({ files: [file] })) {
    try {
      await navigator.share({ files: [file] });
      return;
    } catch (error) {
      if (error.name === 'AbortError') return;
    }
  }
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

// Has the program open a file as if it were chosen, as soon as it can.
function bring(file) {
  brought = opens ? null : file;
  if (!opens) return;
  const chosen = new DataTransfer();
  chosen.items.add(file);
  byId('file').files = chosen.files;
  byId('file').dispatchEvent(new Event('change', { bubbles: true }));
}

// What was sent to the page from another program lies where the service worker has
// put it. If that could not keep it, an empty file stands for it, and is refused.
async function takeShared() {
  const name = new URLSearchParams(location.search).get('shared');
  if (!name) return;
  history.replaceState(null, '', './');
  const kept = await caches.match('shared', { cacheName: 'shared-with-maulstick' }).catch(() => null);
  bring(new File(kept ? [await kept.blob()] : [], name));
  await caches.delete('shared-with-maulstick');
}

// Files that the system opens with the page, where it can.
window.launchQueue?.setConsumer(async ({ files }) => {
  if (files?.length) bring(await files[0].getFile());
});

byId('key-camera').addEventListener('click', () => {
  if (byId('lock').hidden) byId('camera').click();
});
byId('camera').addEventListener('change', ({ target }) => {
  if (target.files.length) bring(target.files[0]);
  target.value = '';
});

// Nothing that needs the program is left to be pressed in vain.
function refuse(section) {
  byId(section).hidden = false;
  document.body.classList.add('refused');
  for (const id of ['frame', 'overlay', 'marks']) byId(id).hidden = true;
}

// Begins the program, or begins it anew in place of one before.
function placeFrame() {
  delete window.maulstick.snapshot;
  const frame = document.createElement('iframe');
  frame.title = 'The picture as drawn';
  frame.inert = true;
  frame.tabIndex = -1;
  frame.src = 'easel.html?v=' + version;
  frame.addEventListener('load', () => { opens = false; });
  byId('frame').replaceChildren(frame);
}

// The program learns only once how many pixels the screen has to a point: when
// that changes the frame is loaded anew, as soon as what was last done is kept.
function watchPixels() {
  let timer = 0;
  const watch = () => {
    const query = window.matchMedia(`(resolution: ${window.devicePixelRatio}dppx)`);
    query.addEventListener('change', () => {
      clearTimeout(timer);
      timer = setTimeout(() => window.frames[0]?.location.reload(), 1500);
      watch();
    }, { once: true });
  };
  watch();
}

function note(text) {
  byId('offline-note').textContent = text;
}

function offer() {
  if (offered) return;
  offered = true;
  for (const callback of listeners) callback();
}

// Keeps the page on the tablet. A new version is put by beside the one in use
// and only offered.
async function keepPage() {
  const workers = navigator.serviceWorker;
  if (!workers) {
    note('This browser cannot keep the page here: without a network it will not open.');
    return;
  }
  let controlled = Boolean(workers.controller);
  workers.addEventListener('controllerchange', () => {
    if (asked) location.reload();
    else if (controlled) offer();
    controlled = true;
  });
  try {
    registration = await workers.register(policy.createScriptURL('sw.js'), { updateViaCache: 'none' });
  } catch (error) {
    // Without a network an earlier version may still be in charge.
    registration = await workers.getRegistration();
    if (!registration) {
      note('The page could not be stored on this tablet: without a network it will not open.');
      return;
    }
  }
  if (registration.waiting) offer();
  registration.addEventListener('updatefound', () => {
    const coming = registration.installing;
    coming.addEventListener('statechange', () => {
      if (coming.state === 'installed' && registration.active) offer();
      if (coming.state === 'redundant' && !registration.active) {
        note('The page could not be stored on this tablet whole: without a network it will not open. It is tried again the next time; if that fails, too, the server has to be set up as SERVING.txt says.');
      }
    });
  });
  const { active } = await workers.ready;
  note('The page is stored on this tablet and opens without a network.');
  document.documentElement.dataset.offline = 'ready';
  if (!controlled) active.postMessage({ kind: 'claim', version });
  setTimeout(() => active.postMessage({ kind: 'settled', version }), 60000);
}

if (location.protocol === 'file:') window.maulstick.failed('it was opened as a file, and so browsers do not let it work. Serve its folder, or start maulstick serve');
else {
  placeFrame();
  watchPixels();
}
// The first picture goes before: what it needs is not fetched twice at once.
setTimeout(stand, 20000);
standing.then(keepPage);
