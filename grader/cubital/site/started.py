"""Python's memory just after its start, so that a browser takes it over and need not start Python.

It is made in node by the very Pyodide that goes out, with the modules of the standard library that
every page uses: a page is live about three seconds earlier. Without node the site has none. The one
thing it keeps of the computer that it was made on is `time.tzname`; local times are the reader's.
"""

import gzip
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from cubital.site import in_node
from cubital.site.pyodide import Edition

# Modules of the standard library that the kernel and the course import on every page.
MODULES = """
argparse asyncio base64 bdb bz2 cProfile calendar cmd code copy csv ctypes dataclasses datetime
decimal difflib dis email.message email.parser fractions getopt getpass gettext hashlib hmac
html html.entities http.client importlib.metadata importlib.resources ipaddress json
logging.config logging.handlers mimetypes pdb pickle platform pprint profile pstats pydoc queue
quopri secrets shlex shutil socketserver statistics subprocess tarfile tempfile textwrap timeit
tomllib urllib.request uuid zipfile
"""
# What Python has freed holds the sources it has read: blocks of nothing take its place, the largest
# first, each as long as there is one below where the memory used so far ends.
_CLEARING = """
import gc
gc.collect()
end, held = id(bytes(1 << 20)), []
for bits in range(20, 3, -1):
    while id(block := bytes(1 << bits)) < end:
        held.append(block)
"""
_IN_NODE = """\
import { createRequire } from "node:module";
import fs from "node:fs";
const [, , core, to, ...steps] = process.argv;
process.argv[1] = "cubital"; // the memory keeps a program's name, and not this folder's
const { loadPyodide } = createRequire(import.meta.url)(`${core}/pyodide.js`);
const pyodide = await loadPyodide({ indexURL: `${core}/`, _makeSnapshot: true });
for (const step of steps) pyodide.runPython(step, { globals: pyodide.runPython("{}") });
fs.writeFileSync(to, pyodide.makeMemorySnapshot());
"""


def memory(
    core: Mapping[str, bytes], pinned: Edition, say: Callable[[str], None] = lambda _words: None
) -> bytes | None:
    """Return Python's memory, packed by gzip; None where it cannot be made.

    Parameters
    ----------
    core
        Pyodide's core files by their names.

    Raises
    ------
    RuntimeError
        Node is installed, and could not make it.
    """
    with tempfile.TemporaryDirectory(prefix="cubital-site-") as name:
        to = Path(name, "memory")
        steps = (f"import {', '.join(MODULES.split())}", _CLEARING)
        how = in_node.command(Path(name), core, pinned, _IN_NODE, str(to), *steps)
        if how is None:
            say("node is not installed here: each page takes about three seconds longer to start")
            return None
        in_node.run(how, "Python's memory could not be kept")
        return gzip.compress(to.read_bytes(), mtime=0)
