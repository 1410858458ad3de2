// Python starts while JupyterLab is still being loaded. The worker, and what it is told, are those of
// the kernel of `@jupyterlite/pyodide-kernel`; `in_browser.js` hands the worker to that kernel.

"use strict";

const START = "cubital-start";

const startWorker = (script, options) => {
  const worker = new Worker(script);
  const begun = new Promise((resolve) => {
    const heard = ({ data }) => {
      if (data?.id !== START) return;
      worker.removeEventListener("message", heard);
      resolve(data);
    };
    worker.addEventListener("message", heard);
  });
  const argumentList = [{ type: "RAW", value: options }];
  worker.postMessage({ id: START, type: "APPLY", path: ["initialize"], argumentList });
  return { worker, begun };
};

// Another window has Python already: this one may never need its own.
const isElsewhere = async (root) => {
  const { held = [] } = (await navigator.locks?.query()) ?? {};
  return held.some(({ name }) => name === `cubital ${new URL(root).pathname}`);
};

// A page that is isolated from other sites has another kind of worker: the kernel starts that itself.
const startPython = async ({ worker, url, packages }, root) => {
  if (crossOriginIsolated || (await isElsewhere(root))) return;
  const pyodideUrl = new URL(url, root).href;
  const indexUrl = new URL(".", pyodideUrl).href;
  const options = {
    baseUrl: new URL(root).pathname,
    pyodideUrl,
    indexUrl,
    pipliteWheelUrl: "",
    pipliteUrls: [],
    disablePyPIFallback: true,
    location: "",
    mountDrive: false,
    loadPyodideOptions: { lockFileURL: new URL("pyodide-lock.json", indexUrl).href, packages },
  };
  window.cubitalStarted = startWorker(new URL(worker, root).href, options);
};
