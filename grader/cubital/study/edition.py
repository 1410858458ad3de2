"""A page as the course gives it: compared when it is opened, and put back if it was changed.

What may change is the learner's: the cells that a worksheet leaves to them, and what cells show.
A lesson is compared with the course's own, as the learner's department has it; a worksheet with
what was laid out, since a released one is the educator's to edit.
"""

import json
from pathlib import Path
from typing import Any

from cubital.handin.files import read_json, write_text
from cubital.study.local_lesson import localised
from cubital.tables.files import course_folder

GIVEN = ".as-given"
_LARGEST = 8_000_000
Notebook = dict[str, Any]


def keep_as_given(notebook: Path, folder: Path) -> None:
    """Keep a worksheet's notebook, as it was given out, in its folder, to compare with later."""
    write_text(folder / GIVEN, notebook.read_text(encoding="utf-8"))


def restore(notebook: Path) -> bool:
    """Put a changed page back; what the learner wrote into cells of their own stays.

    Returns
    -------
    bool
        Whether anything had to be put back.

    Raises
    ------
    ValueError
        There is no page of that name, neither here nor in the course.
    """
    given = _given(notebook)
    if given is None:
        if notebook.is_file():
            return False
        raise ValueError(f"there is no page {notebook.name} in {notebook.parent}")
    try:
        found = read_json(notebook, largest=_LARGEST)
        own = {_key(cell): cell["source"] for cell in found["cells"] if _is_learners(cell)}
        if _content(found) == _content(given):
            return False
        edition = {"cubital": found["metadata"].get("cubital")}
    except (ValueError, OSError, KeyError, TypeError, AttributeError):
        own, edition = {}, {}  # not readable any more
    for cell in given["cells"]:
        if _is_learners(cell) and _key(cell) in own:
            cell["source"] = own[_key(cell)]
    given["metadata"] |= {key: value for key, value in edition.items() if value}
    write_text(notebook, json.dumps(given, indent=1, ensure_ascii=False))
    return True


def _given(notebook: Path) -> Notebook | None:
    kept, lesson = notebook.with_name(GIVEN), course_folder("modules") / notebook.name
    if kept.is_file():
        return read_json(kept, largest=_LARGEST)
    if lesson.is_file():
        given = read_json(lesson, largest=_LARGEST)
        return localised(given, notebook.stem, notebook.resolve().parents[1])
    return None


def _content(notebook: Notebook) -> list[tuple[Any, ...]]:
    """Return what must be as it was given: each cell's kind and text, the learner's left out, and
    how the page asks for a prediction there."""
    return [
        (
            cell["cell_type"],
            _key(cell),
            "" if _is_learners(cell) else "".join(cell["source"]),
            cell["metadata"].get("cubital"),
        )
        for cell in notebook["cells"]
    ]


def _key(cell: dict[str, Any]) -> str:
    return str(cell["metadata"].get("nbgrader", {}).get("grade_id") or cell.get("id", ""))


def _is_learners(cell: dict[str, Any]) -> bool:
    return bool(cell["metadata"].get("nbgrader", {}).get("solution"))
