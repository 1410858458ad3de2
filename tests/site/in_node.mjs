// The Python of a site, started in node as a page's worker starts it: one line of JSON in, a
// function with its module and arguments; one line of JSON out, what came of it.

import { createRequire } from "node:module";
import fs from "node:fs";
import readline from "node:readline";
import zlib from "node:zlib";

const [, , site, laidOut, tests, ...more] = process.argv;
const { loadPyodide } = createRequire(import.meta.url)(`${laidOut}/pyodide.js`);
const told = JSON.parse(fs.readFileSync(`${site}/site.json`));
const { started, packages } = told.cubitalPython;
const python = await loadPyodide({
  _loadSnapshot: zlib.gunzipSync(fs.readFileSync(`${site}/python/${started}`)),
  indexURL: `${laidOut}/`,
  lockFileURL: `${laidOut}/pyodide-lock.json`,
  packages: [...packages, ...more],
  stdout: (line) => console.error(line),
});

python.FS.mkdirTree("/tests");
python.FS.mount(python.FS.filesystems.NODEFS, { root: tests }, "/tests");

// What the page's kernel gives: a way to the browser's figures and fields, which nobody hears here.
await python.runPythonAsync(`
import piplite.piplite, pyodide_kernel, sys
sys.stdout, sys.stderr = sys.__stdout__, sys.__stderr__
pyodide_kernel.kernel_instance.interpreter.send_comm = lambda *words, **more: None

import importlib, json, os
from cubital.study import in_browser

sys.dont_write_bytecode = True
sys.path.append("/tests")
os.makedirs(in_browser.ROOT, exist_ok=True)
os.chdir(in_browser.ROOT)

def answered(module, function, given):
    called = getattr(importlib.import_module(module), function)
    return json.dumps(called(*json.loads(given)))
`);
const answered = python.globals.get("answered");

for await (const line of readline.createInterface({ input: process.stdin })) {
  const { module, call, given } = JSON.parse(line);
  let reply;
  try {
    reply = { came: answered(module, call, given) };
  } catch (error) {
    reply = { failed: error.message };
  }
  console.log(JSON.stringify(reply));
}
