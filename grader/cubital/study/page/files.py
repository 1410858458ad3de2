"""The page as JupyterLab takes it: one script with its style, made of the parts in ``scripts``."""

import hashlib
import json
import shutil
from pathlib import Path

from cubital.handin.files import write_json, write_text
from cubital.tables.files import style, with_common

NAME = "cubital-page"
_SCRIPTS = Path(__file__).parent / "scripts"
# In the order in which they stand in the script; a new topic is a script and a name here.
_ORDER = (
    "lab",
    "address",
    "kernel",
    "live",
    "blocks",
    "help",
    "bar",
    "who",
    "rail",
    "predict",
    "page",
    "plugin",
)


def page_script() -> str:
    """Return the whole script; nothing of it is seen by others on the page but its plugin."""
    parts = [(_SCRIPTS / f"{name}.js").read_text(encoding="utf-8") for name in _ORDER]
    own = f"const STYLE = {json.dumps(style('page.css', 'predict.css'))};"
    return "\n".join(["(() => {", '"use strict";', with_common(own), *parts, "})();", ""])


def make_extension(folder: Path) -> Path:
    """Make the prebuilt extension in a folder for them, and return that folder.

    The script's name holds a hash of its content, so that no browser shows an earlier edition's.
    """
    script = page_script()
    name = f"page.{hashlib.sha256(script.encode()).hexdigest()[:16]}.js"
    target = folder / NAME
    shutil.rmtree(target, ignore_errors=True)
    (target / "static").mkdir(parents=True)
    write_text(target / "static" / name, script)
    write_json(
        target / "package.json",
        {
            "name": NAME,
            "version": "1.0.0",
            "license": "BSD-3-Clause",
            "jupyterlab": {
                "extension": True,
                "_build": {"load": f"static/{name}", "extension": "./extension"},
            },
        },
    )
    return folder
