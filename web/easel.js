// Runs in the frame that shows the picture: puts the gate before the browser's
// animation frames, then starts the program that draws.
'use strict';

// The gate. The program takes requestAnimationFrame once, when it starts, and
// asks for the next frame from inside each one, for ever. While the picture
// does not change, what it asks for is put by until the gate is woken, so that
// an idle page costs nothing.
const nextFrame = window.requestAnimationFrame.bind(window);
let held = false;
let waiting = [];

window.gate = {
  frames: 0, // run since the frame was loaded
  hold() {
    held = true;
  },
  wake() {
    held = false;
    const callbacks = waiting;
    waiting = [];
    for (const callback of callbacks) schedule(callback);
  },
};

function schedule(callback) {
  return nextFrame((time) => {
    window.gate.frames++;
    callback(time);
  });
}

window.requestAnimationFrame = (callback) => {
  if (!held) return schedule(callback);
  waiting.push(callback);
  return 0;
};

// The moment of the first picture, where the browser's own tools and the
// benchmarks find it: the browser has been handed all that draws it, and begins
// the frame after. What was put off until then is called after it.
window.markFirstPicture = (then) => nextFrame(() => {
  window.parent.performance.mark('first picture');
  if (then) setTimeout(then);
});

// Whatever the program listens to outside this frame must end with the frame,
// which may be loaded anew while the page around it stays.
const ending = new AbortController();
window.ending = ending.signal;
window.addEventListener('pagehide', () => ending.abort());

// The program asks for WebGL 2 once. To ask beforehand whether it is to be had
// would cost a context of its own, and a second at the start. It would be given four
// samples a pixel, depth and a stencil besides, all to be filled for every picture and
// of no use to one that is made of whole pixels.
const getContext = HTMLCanvasElement.prototype.getContext;
HTMLCanvasElement.prototype.getContext = function (kind, wanted) {
  if (kind !== 'webgl2') return getContext.call(this, kind, wanted);
  const context = getContext.call(this, kind, { ...wanted, alpha: false, antialias: false, depth: false, stencil: false });
  if (!context) window.parent.maulstick.cannotDraw();
  return context;
};

// Whether nothing at all has been kept here yet.
window.nothingKept = isNothingKept().catch(() => false);

async function isNothingKept() {
  return (await indexedDB.databases()).length === 0;
}

// What is kept of surveys is made small: their pictures are flat. Null where the
// browser cannot.
window.squeeze = (bytes) => through(bytes, 'CompressionStream');
window.unsqueeze = (bytes) => through(bytes, 'DecompressionStream');

async function through(bytes, kind) {
  if (!window[kind]) return null;
  const stream = new Blob([bytes]).stream().pipeThrough(new window[kind]('gzip'));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

async function start() {
  const version = document.documentElement.dataset.version;
  if (version !== window.parent.document.documentElement.dataset.version) {
    throw new Error('a newer version of the page has been put in place');
  }
  const response = await fetch('page.wasm?v=' + version);
  if (!response.ok) throw new Error('a part of the page could not be fetched');
  const go = new Go();
  // Nothing is cleared away before the first picture; the program sees to it then.
  go.env.GOGC = 'off';
  const { instance } = await WebAssembly.instantiateStreaming(response, go.importObject);
  await go.run(instance);
  if (!ending.signal.aborted) throw new Error('drawing stopped');
}

start().catch((error) => {
  console.error(error);
  window.parent.maulstick.failed(error.message);
});
