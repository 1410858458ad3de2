"""A worksheet's source as the course folder's bank wants it: items off, points, own items.

The educator's own words in the source stay. What is changed for the bank is noted in the
notebook's metadata, so that the next release can take it back: an item switched on again comes
back as the course has it.
"""

import copy
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from cubital.items import CodeItem, Item, TextItem
from cubital.marking.notebooks import Cell, Notebook, is_grade, marks_of, source_text

NOTE = "cubital"
_HEADING = re.compile(r"^## \d+\.")
_POINTS = re.compile(r"^\d+(?:\.\d+)? points?\b", re.MULTILINE)
_COUNT = re.compile(r"^([A-Z][a-z-]+|\d+) questions?\b", re.MULTILINE)
_MINUTES = re.compile(r"(?<=,) about (\d+) minutes\b")
_SAFETY = re.compile(r"(?:[A-Z][a-z-]+|\d+) of these \S+ questions (?:is|are) on safety\b")
_SMALL = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten")
_TEENS = ("Eleven", "Twelve", "Thirteen", "Fourteen", "Fifteen", "Sixteen", "Seventeen")
_TWENTIES = ("Twenty", *(f"Twenty-{word.lower()}" for word in _SMALL[1:10]))
_NUMBERS = (*_SMALL, *_TEENS, "Eighteen", "Nineteen", *_TWENTIES, "Thirty")
_COMPLETE = (
    "Write the function in Python, in the box below its first line. What it gives on your numbers "
    "is said there once you leave the box."
)


@dataclass(frozen=True)
class Wishes:
    """What a bank wants of a worksheet: what is off, points that differ, and own items.

    ``minutes`` are how many more its questions take than all of the course's.
    """

    asked: Sequence[Item]
    off: Sequence[str]
    points: Sequence[str]
    own: Sequence[Item]
    minutes: float = 0.0

    @property
    def note(self) -> dict[str, list[str]]:
        """What the notebook notes, for the next release; empty if nothing differs."""
        own = [item.id for item in self.own]
        parts = {"off": list(self.off), "points": list(self.points), "own": own}
        return {name: keys for name, keys in parts.items() if keys}


def adapted(source: Notebook, pristine: Notebook, wishes: Wishes) -> Notebook:
    """Return a source with the bank's wishes carried out and earlier ones taken back.

    Parameters
    ----------
    source
        The course folder's source, maybe edited and maybe adapted before.
    pristine
        The course's own source of the worksheet.
    """
    before = source.get("metadata", {}).get(NOTE, {})
    if not before and not wishes.note:
        return source
    notebook = copy.deepcopy(source)
    cells = notebook["cells"]
    for key in before.get("own", ()):
        _take_out(cells, key)
    for key in before.get("off", ()):
        if key not in wishes.off:
            _bring_back(cells, pristine, key)
    for key in wishes.off:
        _take_out(cells, key)
    for item in wishes.own:
        _append(cells, _own_cells(item))
    by_id = {item.id: item for item in wishes.asked}
    for key in dict.fromkeys((*before.get("points", ()), *wishes.points)):
        if key in by_id:
            _set_points(cells, key, by_id[key].points)
    _number(cells)
    extra = {item.id for item in wishes.asked if item.optional}
    count = sum(key not in extra for key in _grade_ids(cells))
    _tell_counts(cells[0], count, sum(item.critical for item in wishes.asked))
    _tell_minutes(cells[0], source_text(pristine["cells"][0]), wishes.minutes)
    notebook["metadata"].pop(NOTE, None)
    if wishes.note:
        notebook["metadata"][NOTE] = wishes.note
    return notebook


def _grade_ids(cells: Sequence[Cell]) -> list[str]:
    return [str(marks_of(cell)["grade_id"]) for cell in cells if is_grade(cell)]


def _block(cells: Sequence[Cell], key: str) -> slice:
    """Return the cells of an item: from its heading to its grade cell; none if it is not there."""
    grades = [number for number, cell in enumerate(cells) if is_grade(cell)]
    ends = [number for number in grades if marks_of(cells[number])["grade_id"] == key]
    if not ends:
        return slice(0, 0)
    end = ends[0]
    first = max((number + 1 for number in grades if number < end), default=0)
    starts = [n for n in range(first, end) if _HEADING.match(source_text(cells[n]))]
    return slice(starts[-1] if starts else end, end + 1)


def _take_out(cells: list[Cell], key: str) -> None:
    del cells[_block(cells, key)]


def _bring_back(cells: list[Cell], pristine: Notebook, key: str) -> None:
    """Put the course's cells of an item after those of the item that it follows in the course."""
    theirs = pristine["cells"]
    if key in _grade_ids(cells) or key not in _grade_ids(theirs):
        return
    cut = _block(theirs, key)
    block = copy.deepcopy(theirs[cut])
    above = theirs[cut.start - 1]
    ids = [cell.get("id") for cell in cells]
    if not is_grade(above) and above.get("id") in ids:  # a heading over questions, or the top
        at = ids.index(above["id"]) + 1
        cells[at:at] = block
        return
    order = _grade_ids(theirs)
    here = set(_grade_ids(cells))
    earlier = [other for other in order[: order.index(key)] if other in here]
    later = [other for other in order[order.index(key) :] if other in here]
    if earlier:
        at = _block(cells, earlier[-1]).stop
    else:
        at = _block(cells, later[0]).start if later else len(cells)
    cells[at:at] = block


def _append(cells: list[Cell], block: list[Cell]) -> None:
    """Put cells after the last item."""
    grades = [number for number, cell in enumerate(cells) if is_grade(cell)]
    at = grades[-1] + 1 if grades else len(cells)
    cells[at:at] = block


def _own_cells(item: Item) -> list[Cell]:
    """Return heading, field and grade cell of an own item."""
    points = f"{_worth(item.points)}"
    if item.optional:
        points += ", optional"
    points += ", marked by hand." if isinstance(item, TextItem) else "."
    points += f" {_COMPLETE}" if isinstance(item, CodeItem) else ""
    heading = _markdown(f"{item.id}-heading", f"## 0. {item.title}\n\n{points}")
    asking = f'ask("{item.id}")'
    if isinstance(item, CodeItem):
        marks = _marks(item.id, grade=True, locked=True) | {"points": item.points}
        asking = f'ask("{item.id}", {item.function})'
        return [heading, _function(item), _code(item.id, asking, marks)]
    if not isinstance(item, TextItem):
        marks = _marks(item.id, grade=True, locked=True) | {"points": item.points}
        return [heading, _code(item.id, asking, marks)]
    scheme = "\n".join(f"- {line}" for line in item.mark_scheme)
    field = _code(f"{item.id}-field", asking, _marks(f"{item.id}-field", locked=True))
    answer = _markdown(item.id, f"### BEGIN SOLUTION\n{scheme}\n### END SOLUTION")
    marks = _marks(item.id, grade=True, solution=True) | {"points": item.points}
    answer["metadata"] = {"nbgrader": marks}
    return [heading, field, answer]


def _function(item: CodeItem) -> Cell:
    """Return the cell that an own item's function is written into."""
    parameters = ", ".join(item.values("", "parameters", {}))
    name = f"{item.id}-function"
    solution = "### BEGIN SOLUTION\n    return None  # nothing is kept here\n    ### END SOLUTION"
    text = f"def {item.function}({parameters}):\n    {solution}"
    return _code(name, text, _marks(name, solution=True))


def _marks(
    grade_id: str, *, grade: bool = False, locked: bool = False, solution: bool = False
) -> dict[str, Any]:
    return {
        "grade": grade,
        "grade_id": grade_id,
        "locked": locked,
        "schema_version": 3,  # nbgrader's own, of version 0.9
        "solution": solution,
        "task": False,
    }


def _markdown(cell_id: str, text: str) -> Cell:
    return {"cell_type": "markdown", "id": cell_id, "metadata": {}, "source": text}


def _code(cell_id: str, text: str, marks: dict[str, Any]) -> Cell:
    return {
        "cell_type": "code",
        "execution_count": None,
        "id": cell_id,
        "metadata": {"jupyter": {"source_hidden": True}, "nbgrader": marks},
        "outputs": [],
        "source": text,
    }


def _set_points(cells: list[Cell], key: str, points: float) -> None:
    """Write an item's points into nbgrader's metadata and into its heading."""
    for cell in cells[_block(cells, key)]:
        if is_grade(cell):
            marks_of(cell)["points"] = points
        elif _HEADING.match(source_text(cell)):
            cell["source"] = _POINTS.sub(_worth(points), source_text(cell), count=1)


def _worth(points: float) -> str:
    return f"{points:g} point" + ("" if points == 1 else "s")


def _number(cells: list[Cell]) -> None:
    """Number the headings of the items anew."""
    for number, key in enumerate(_grade_ids(cells), 1):
        block = cells[_block(cells, key)]
        if _HEADING.match(source_text(block[0])):
            block[0]["source"] = _HEADING.sub(f"## {number}.", source_text(block[0]), count=1)


def _tell_counts(top: Cell, count: int, critical: int) -> None:
    """Say at the top how many questions want an answer, and how many of them must be right."""
    paragraphs = _COUNT.sub(_questions(count), source_text(top), count=1).split("\n\n")
    told = [n for n, words in enumerate(paragraphs) if _SAFETY.match(words)]
    counted = [n + 1 for n, words in enumerate(paragraphs) if _COUNT.match(words)]
    at = (told or counted or [len(paragraphs)])[0]
    paragraphs = [words for words in paragraphs if not _SAFETY.match(words)]
    paragraphs[at:at] = [_on_safety(count, critical)] if critical else []
    top["source"] = "\n\n".join(paragraphs)


def _tell_minutes(top: Cell, pristine: str, more: float) -> None:
    """Say at the top how long it takes, to the nearest five minutes.

    ``more`` are the minutes that come to those of the course's own page, or below 0 go off.
    Words that an educator put in their place stay.
    """
    if found := _MINUTES.search(pristine):
        minutes = max(5, 5 * int((int(found[1]) + more) / 5 + 0.5))
        words = f" about {minutes} minutes"
        top["source"] = _MINUTES.sub(words, source_text(top), count=1)


def _on_safety(count: int, critical: int) -> str:
    """Say how many questions decide whatever the points; which ones, nobody is told beforehand."""
    words = f"{_in_words(critical)} of these {_in_words(count).lower()} questions"
    if critical == 1:
        words += " is on safety and must be right to pass, whatever the points; it looks"
    else:
        words += " are on safety and must all be right to pass, whatever the points; they look"
    return f"{words} like the others."


def _questions(count: int) -> str:
    return f"{_in_words(count)} question" + ("" if count == 1 else "s")


def _in_words(count: int) -> str:
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)
