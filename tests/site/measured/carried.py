"""A learner's file, taken over into an empty folder and into one that holds other answers."""

import base64
import hashlib
import io
import tempfile
import zipfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from cubital.handin.progress import keep_progress
from cubital.refresh.reviews import add_review
from cubital.study import folders
from cubital.study.learner import carrying, people
from cubital.worksheet.sitting import sitting

SHEET = "catheter-sizing"


def begun(name: str) -> str:
    """Return the file of somebody who begins, as text."""
    with tempfile.TemporaryDirectory() as top:
        folder = people.begin(Path(top), name).folder
        folders.lay_out_course(folder)
        return _text(carrying.packed(folder))


def gone_on(file: str, lesson: str, ratio: str, day: int) -> str:
    """Return the file of somebody who takes theirs over, finishes a lesson and answers."""
    with tempfile.TemporaryDirectory() as top:
        folder = carrying.take_over(Path(top), base64.b64decode(file)).folder
        keep_progress(folder / folders.LESSONS, finished=lesson)
        at = datetime(2027, 3, day, tzinfo=UTC)
        sitting(folder / SHEET).store.save("sizing-ratio", ratio, now=at)
        told = {"objective": "o", "item": "i", "outcome": "right", "rating": "good"}
        add_review(folder, folder.name, review=f"r-{day}", at=at, **told)
        return _text(carrying.packed(folder))


def merged(*files: str) -> dict[str, Any]:
    """Return what lies in a learner's folder once files were taken over, by name."""
    with tempfile.TemporaryDirectory() as top:
        for file in files:
            folder = carrying.take_over(Path(top), base64.b64decode(file)).folder
        return held(_text(carrying.packed(folder)))


def held(file: str) -> dict[str, str]:
    """Return the check sum of each part of a file, by name."""
    with zipfile.ZipFile(io.BytesIO(base64.b64decode(file))) as archive:
        return {
            name: hashlib.sha256(archive.read(name)).hexdigest()
            for name in sorted(archive.namelist())
        }


def _text(data: bytes) -> str:
    return base64.b64encode(data).decode()
