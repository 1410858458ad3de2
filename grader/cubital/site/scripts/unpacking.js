// The first script of Python's worker: the program lies packed in the site, since a plain file server
// compresses nothing on the way, and is unpacked as it arrives. It stands where JupyterLite expects
// Pyodide's own first script, and is asked as that would be.

"use strict";

(() => {
  const SCRIPT = "pyodide.asm.js";
  const PROGRAM = "pyodide.asm.wasm";
  const TYPES = { [SCRIPT]: "text/javascript", [PROGRAM]: "application/wasm" };

  const unpacked = async (folder, name) => {
    const reply = await fetch(`${folder}${name}.bin`);
    if (!reply.ok) throw new Error(`${name}.bin was not given out: ${reply.status}`);
    const body = reply.body.pipeThrough(new DecompressionStream("gzip"));
    return new Response(body, { headers: { "Content-Type": TYPES[name] } });
  };

  self.loadPyodide = async (options) => {
    const folder = options.indexURL;
    importScripts(`${folder}pyodide.js`); // the worker stands still meanwhile: nothing is on its way yet
    const program = unpacked(folder, PROGRAM);
    const script = URL.createObjectURL(await (await unpacked(folder, SCRIPT)).blob());
    importScripts(script);
    URL.revokeObjectURL(script);
    const { fetch: asked } = self;
    self.fetch = (what, ...more) => (String(what) === folder + PROGRAM ? program : asked(what, ...more));
    try {
      return await self.loadPyodide(options); // Pyodide's own by now
    } finally {
      self.fetch = asked;
    }
  };
})();
