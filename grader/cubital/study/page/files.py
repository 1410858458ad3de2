"""The page as JupyterLab takes it: one script with its style, made of the parts in ``scripts``."""

import hashlib
import json
import shutil
from pathlib import Path

from cubital.handin.files import write_json, write_text
from cubital.tables.files import course_folder, style, with_common

NAME = "cubital-page"
_SCRIPTS = Path(__file__).parent / "scripts"
ON_SERVER = _SCRIPTS / "on_server.js"  # what the page knows of where the course runs
# In the order in which they stand in the script; a new topic is a script and a name here.
_ORDER = (
    "lab",
    "address",
    "place",
    "kernel",
    "watching",
    "live",
    "blocks",
    "help",
    "news",
    "bar",
    "who",
    "rail",
    "predict",
    "numbers",
    "early",
    "keeping",
    "page",
    "plugin",
)
_TAGS = (("## ", "h3"), ("- ", "li"))


def page_script(place: Path = ON_SERVER, *beside: Path) -> str:
    """Return the whole script; nothing of it is seen by others on the page but its plugin.

    ``place`` says where the course runs; what is needed there ``beside`` stands before the page.
    """
    files = [place if name == "place" else _SCRIPTS / f"{name}.js" for name in _ORDER]
    at = _ORDER.index("page")
    parts = [file.read_text(encoding="utf-8") for file in (*files[:at], *beside, *files[at:])]
    given = {"STYLE": style("page.css", "predict.css"), "ACCESSIBILITY": accessibility()}
    own = "\n".join(f"const {name} = {json.dumps(value)};" for name, value in given.items())
    return "\n".join(["(() => {", '"use strict";', with_common(own), *parts, "})();", ""])


def accessibility() -> list[tuple[str, str]]:
    """Return what help says of accessibility: the tag and the text of each line."""
    text = (course_folder("assets") / "accessibility.md").read_text(encoding="utf-8")
    _title, *lines = (line for line in text.splitlines() if line)
    return [
        next(
            ((tag, line.removeprefix(mark)) for mark, tag in _TAGS if line.startswith(mark)),
            ("p", line),
        )
        for line in lines
    ]


def make_extension(folder: Path, place: Path = ON_SERVER, *beside: Path) -> Path:
    """Make the prebuilt extension in a folder for them, and return that folder.

    The script's name holds a hash of its content, so that no browser shows an earlier edition's.
    """
    script = page_script(place, *beside)
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
