/** The core's bytes, written by the build beside this file; Vite turns the import into their address. */
declare module '*.wasm?url' {
  const url: string;
  export default url;
}
declare module '*/wasm_exec.js';
