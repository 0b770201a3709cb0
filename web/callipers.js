// Runs in a worker: starts the program that checks paintings against their references
// and reads grey cards and mixed piles.
import './wasm_exec.js';

// Whoever waits for an answer is told that there will be none.
start().catch((error) => postMessage({ kind: 'broken', reason: error.message }));

async function start() {
  const go = new Go();
  const response = await fetch('callipers.wasm' + self.location.search);
  const { instance } = await WebAssembly.instantiateStreaming(response, go.importObject);
  await go.run(instance);
  throw new Error('its program ended');
}
