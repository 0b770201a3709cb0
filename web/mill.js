// Runs in a worker: starts the program that does the heavy work.
import './wasm_exec.js';

const go = new Go();
const response = await fetch('mill.wasm' + self.location.search);
const { instance } = await WebAssembly.instantiateStreaming(response, go.importObject);
go.run(instance);
