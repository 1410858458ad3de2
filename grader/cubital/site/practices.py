"""Practices made ready for a site: what their questions show before Python answers, and pictures.

Whoever opens a worksheet for the first time has its questions at once, and waits for no picture to
be rendered. Practices with pictures take long to make: there is one of these for all. A practice's
name changes with the course, so that none of one name ever asks something else.
"""

import json
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from cubital.handin.released.release import read_release
from cubital.site import archive, frozen
from cubital.study import folders, practice_pictures

FOLDER = "practices"
_WITH_PICTURES, _WITHOUT = 1, 2  # of each worksheet
_MADE_HERE = {".lock", ".rendering.lock"}


class Ready(NamedTuple):
    """The files of the practices by their paths on the site; of each worksheet and practice, which
    holds its ``pictures``, empty where it has none, and what it ``shows`` at first."""

    files: dict[str, bytes]
    pictures: dict[str, dict[str, str]]
    shows: dict[str, dict[str, str]]


def made(say: Callable[[str], None] = lambda _words: None) -> Ready:
    """Make the practices of all worksheets, their pictures rendered."""
    say("The pictures of the worksheets to practise are being rendered: this takes a few minutes")
    ready, edition = Ready({}, {}, {}), archive.edition()
    with tempfile.TemporaryDirectory() as name:
        notebooks = {}
        for worksheet in folders.worksheet_names():
            for number in range(1, 1 + _WITHOUT):
                learner = folders.learner_folder(Path(name, str(number)), "somebody")
                practice = f"practice-{edition}-{number}"
                notebook = folders.lay_out_practice(learner, worksheet, practice)
                if number > _WITH_PICTURES and read_release(notebook.parent).pictures:
                    continue
                practice_pictures.render_practice(notebook.parent, processes=None)
                notebooks[worksheet, practice] = notebook
        drawn = frozen.drawn({f"{FOLDER}/{w}-{p}": path for (w, p), path in notebooks.items()}, ())
        for (worksheet, practice), notebook in notebooks.items():
            what = f"{FOLDER}/{worksheet}-{practice}"
            shows = _put(ready.files, what, drawn[what].file, "frozen.json")
            ready.shows.setdefault(worksheet, {})[practice] = shows
            found = _pictures(notebook.parent)
            pictures = _put(ready.files, what, archive.zipped(found), "zip") if found else ""
            ready.pictures.setdefault(worksheet, {})[practice] = pictures
    return ready


def _put(files: dict[str, bytes], what: str, data: bytes, ending: str) -> str:
    """Put a file among the others, and return its path."""
    path = archive.named(what, data, ending)
    files[path] = data
    return path


def as_json(ready: Ready) -> bytes:
    """Return which practices there are as the course reads it from its assets."""
    return json.dumps(ready.pictures).encode()


def _pictures(folder: Path) -> dict[str, bytes]:
    """Return the files of a practice's pictures by their paths in its folder."""
    found = [*folder.glob("pictures/*"), *folder.glob("sealed/**/*")]
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(found)
        if path.is_file() and path.name not in _MADE_HERE
    }
