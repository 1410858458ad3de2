// What the course cannot do without in a browser: how each is tried, and in words what is missing
// and what helps. The first page asks for all of it before it loads anything; check.html shows it.

"use strict";

const ANOTHER_BROWSER = "Use a current edition of Firefox, Chrome, Edge or Safari, or ask your IT department for one.";
const TELL_IT = "This is a setting of the computer or of the web server: show this page to your IT department.";

// The shortest program that WebAssembly has: its mark and its version.
const EMPTY_PROGRAM = new Uint8Array([0, 97, 115, 109, 1, 0, 0, 0]);

const opensStore = () =>
  new Promise((resolve) => {
    const request = indexedDB.open("cubital-check");
    request.onerror = () => resolve(false);
    request.onsuccess = () => {
      request.result.close();
      indexedDB.deleteDatabase("cubital-check");
      resolve(true);
    };
  });

const fromText = (text) => URL.createObjectURL(new Blob([text], { type: "text/javascript" }));

const startsWorker = () =>
  new Promise((resolve) => {
    const worker = new Worker(fromText("postMessage(1)"));
    const end = (started) => {
      worker.terminate();
      resolve(started);
    };
    worker.onmessage = () => end(true);
    worker.onerror = () => end(false);
  });

// Each is there if `there` gives true; what throws or gives something else is missing. Where the
// course begins without it, `begins` says what is lost.
const NEEDS = [
  {
    name: "A web server",
    also: "address",
    there: () => location.protocol !== "file:",
    missing: "This page was opened from a folder, by a double click perhaps. A browser lets no page run a program that way.",
    helps: "Open the address that you were given, which begins with https:// or http://. Whoever has the folder copies it to a web server: for-it.html in it says how.",
  },
  {
    name: "A browser that runs programs fast",
    also: "WebAssembly",
    there: () => typeof WebAssembly === "object" && typeof BigInt64Array === "function",
    missing: "This browser has no WebAssembly, in which the course's calculations run: it is too old, or that part is switched off.",
    helps: ANOTHER_BROWSER,
  },
  {
    name: "Permission to run them",
    also: "Content-Security-Policy, 'wasm-unsafe-eval'",
    there: () => Boolean(new WebAssembly.Module(EMPTY_PROGRAM)),
    missing: "This browser may not run such programs, or cannot: the web server's policy lacks 'wasm-unsafe-eval', the browser is set to a strict mode, or it has no WebAssembly at all.",
    helps: `${TELL_IT} for-it.html has the policy.`,
  },
  {
    name: "Work in the background",
    also: "web workers, worker-src blob:",
    there: startsWorker,
    missing: "This browser cannot work in the background, or the web server's policy forbids it, so the page would stand still.",
    helps: `${TELL_IT} ${ANOTHER_BROWSER}`,
  },
  {
    name: "Unpacking on the way",
    also: "DecompressionStream",
    there: () => Boolean(new DecompressionStream("gzip")),
    missing: "This browser cannot unpack files as they arrive, as Python's program has to be: it is too old.",
    helps: ANOTHER_BROWSER,
  },
  {
    name: "Scripts in parts",
    also: "import(), script-src blob:",
    there: async () => (await import(fromText("export default true"))).default,
    missing: "This browser cannot load the figures' scripts: it is too old, or the web server's policy lacks blob: in script-src.",
    helps: `${TELL_IT} ${ANOTHER_BROWSER}`,
  },
  {
    name: "A place for your answers",
    also: "IndexedDB",
    there: opensStore,
    missing: "This browser keeps nothing for this page. It may be a private window, or storing is switched off.",
    helps: "Open the page in an ordinary window. In the browser's settings, allow this address to store data (“cookies and site data”). Otherwise press “Save my file” on the course's page before you close it.",
    begins: "The course can begin in this browser, but what you enter is gone when you close it.",
  },
  {
    name: "A place for where you stopped",
    also: "localStorage",
    there: () => {
      localStorage.setItem("cubital-check", "1");
      localStorage.removeItem("cubital-check");
      return true;
    },
    missing: "This browser forbids this page to store anything.",
    helps: "In the browser's settings, allow this address to store data (“cookies and site data”), and open the course in a window of its own, not within another page.",
  },
];

const isThere = async (need) => {
  try {
    return (await need.there()) === true;
  } catch {
    return false;
  }
};

const element = (tag, text, children = []) => {
  const made = document.createElement(tag);
  made.append(...(text ? [text] : []), ...children);
  return made;
};

// Where the page is shown within another one: the way out of it.
const toOwnWindow = () => {
  const link = element("a", "Open the course in a window of its own");
  link.href = "./";
  link.target = "_blank";
  return link;
};
