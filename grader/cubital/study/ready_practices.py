"""Practices that a site has ready, so that their questions are there before Python is, and their
pictures need not be rendered in the browser. Who has practised all of them gets others."""

import contextlib
import io
import zipfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from cubital.handin.files import read_json
from cubital.handin.released.pictures import FOLDER as PICTURES
from cubital.handin.released.release import Release, read_release
from cubital.study import site_files
from cubital.tables.files import course_folder

FILE = "practices.json"  # in the assets of a site


def next_name(learner: str, worksheet: str, had_in: Iterable[Path]) -> str | None:
    """Return the name of a ready practice of a worksheet that a learner has not had yet; None
    where there is none. Which one is the first goes by the learner's id.

    ``had_in`` are the folders of what the learner has had of the worksheet.
    """
    names = sorted(_files().get(worksheet, {}))
    had = {*map(_name, had_in)}
    first = sum(map(ord, learner)) % (len(names) or 1)  # the page reckons in the same way
    return next((name for name in names[first:] + names[:first] if name not in had), None)


def take_pictures(folder: Path, release: Release) -> None:
    """Take the pictures of a practice from the site, if it has them ready; else nothing happens."""
    file = _files().get(release.worksheet, {}).get(release.name)
    if not file or (folder / PICTURES).is_dir():
        return
    with (
        contextlib.suppress(OSError, zipfile.BadZipFile),  # they are rendered then
        zipfile.ZipFile(io.BytesIO(site_files.fetched(file))) as archive,
    ):
        archive.extractall(folder)


def _files() -> Mapping[str, Mapping[str, str]]:
    """Return the files of the pictures, empty where it has none, by worksheet and practice."""
    path = course_folder("assets") / "site" / FILE
    return read_json(path) if site_files.is_on_site() and path.is_file() else {}


def _name(folder: Path) -> str:
    try:
        return read_release(folder).name
    except ValueError:
        return ""
