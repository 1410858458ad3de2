"""Changes of the notebook: its JSON, its form, its cells, and what is written into them."""

import random
from typing import Any

from cubital.handin.results import MARKED, UNREADABLE

from .given import (
    ASKED,
    LINE,
    NOTEBOOK,
    TEXT,
    HandIn,
    Items,
    grade_id,
    mutant,
)

HEAD = "def ratio(outer_diameter_mm, vein_diameter_mm):\n    "
RIGHT = f"{HEAD}return outer_diameter_mm / vein_diameter_mm"
WRITES = "open('written-by-a-mutant', 'w').write('here')"
NOT_TAKEN = "is not taken"
# A line of Python, the outcome of its item, and words of the reason.
LINES = (
    (f"{HEAD}return __import__('os').system('touch written-by-a-mutant')", "refused", NOT_TAKEN),
    (f"{WRITES}\n{RIGHT}", "right", ""),  # what changes nothing is passed over, and is not run
    (f"{RIGHT}\n{WRITES}", "right", ""),
    (f"written = {WRITES}\n{RIGHT}", "refused", NOT_TAKEN),
    (f"{RIGHT}\nratio = abs", "refused", NOT_TAKEN),
    (f"{RIGHT}\n{HEAD}return 1", "refused", "stands in the code twice"),
    (f"{HEAD}return 9**9**9**9**9", "wrong", "too large"),
    (f"{HEAD}return {'-' * 3900}1", "refused", "nested too deeply"),
    (f"{HEAD}return {'(' * 1500}1{')' * 1500}", "refused", ""),
    (f"{HEAD}return outer_diameter_mm / 0", "wrong", "divides by zero"),
    (f"{HEAD}return ().__class__.__bases__[0].__subclasses__()", "refused", NOT_TAKEN),
    (f"{HEAD}return [a for a in iter(int, 1)]", "refused", NOT_TAKEN),
    (f"{HEAD}return True", "refused", NOT_TAKEN),
    (f"{HEAD}return 'right'", "refused", NOT_TAKEN),
    (f"{HEAD}return outer_diameter_mm /", "refused", "is not Python"),
    (f"{HEAD}return outer_diameter_mm\x00", "refused", "null"),
    (f"{HEAD}return 1{'0' * 3000}", "refused", "longer than 300"),
    (f"{HEAD}return 1{'0' * 280}", "wrong", ""),
    ("while True:\n    pass", "refused", NOT_TAKEN),
    ("import sys\nsys.exit(0)", "refused", NOT_TAKEN),
    ("ratio = abs", "refused", NOT_TAKEN),
    (f"{HEAD}return 1 #{'#' * 300_000}", "refused", "longer than 4000"),
)


def some(draw: random.Random, notebook: Any, most: int = 8) -> list[int]:
    """Draw the places of some cells, none of them the line of Python's."""
    places = [n for n, cell in enumerate(notebook["cells"]) if grade_id(cell) != "ratio-line"]
    return sorted(draw.sample(places, draw.randint(1, most)))


def graded(notebook: Any) -> list[Any]:
    """Return what nbgrader's metadata say of the cells that it marks."""
    marks = (cell["metadata"].get("nbgrader", {}) for cell in notebook["cells"])
    return [one for one in marks if one.get("grade")]


@mutant(UNREADABLE, f"{NOTEBOOK} is not whole")
def notebook_truncated(given: HandIn, draw: random.Random) -> None:
    whole = given.files[NOTEBOOK]
    given.files[NOTEBOOK] = (
        whole[: draw.randrange(1, len(whole) - 1)].decode(errors="ignore").encode()
    )


@mutant(UNREADABLE, f"{NOTEBOOK} is empty")
def notebook_empty(given: HandIn, draw: random.Random) -> None:
    given.files[NOTEBOOK] = b""


@mutant(UNREADABLE, f"{NOTEBOOK} is nested too deeply")
def notebook_deep(given: HandIn, draw: random.Random) -> None:
    depth = draw.choice((101, 900, 5_000, 200_000))
    deep = b'{"a":' * depth + b"1" + b"}" * depth
    given.files[NOTEBOOK] = given.files[NOTEBOOK].replace(b"{", b'{"deep":' + deep + b",", 1)


@mutant(UNREADABLE, NOTEBOOK)
def notebook_of_another_coding(given: HandIn, draw: random.Random) -> None:
    text = given.files[NOTEBOOK].decode()
    given.files[NOTEBOOK] = text.encode(draw.choice(("utf-16", "utf-32", "utf-7")))


@mutant(MARKED)
def notebook_with_a_byte_order_mark(given: HandIn, draw: random.Random) -> None:
    given.files[NOTEBOOK] = given.files[NOTEBOOK].decode().encode("utf-8-sig")


@mutant(UNREADABLE, "it is not a notebook")
def notebook_of_another_type(given: HandIn, draw: random.Random) -> None:
    given.put(NOTEBOOK, draw.choice(([], [given.data(NOTEBOOK)], "notebook", 4, None, True)))


@mutant(UNREADABLE, "and 4 is needed")
def notebook_format_changed(given: HandIn, draw: random.Random) -> None:
    given.put(
        NOTEBOOK, given.data(NOTEBOOK) | {"nbformat": draw.choice((3, 5, "4", None, [4], 1e9))}
    )


@mutant(UNREADABLE, "its minor format is")
def notebook_minor_format_changed(given: HandIn, draw: random.Random) -> None:
    minor = draw.choice(("five", 4.5, None, [5], {}))
    given.put(NOTEBOOK, given.data(NOTEBOOK) | {"nbformat_minor": minor})


@mutant(UNREADABLE, "metadata")
def notebook_metadata_of_another_type(given: HandIn, draw: random.Random) -> None:
    given.put(NOTEBOOK, given.data(NOTEBOOK) | {"metadata": draw.choice(([1], "x", 7, None, True))})


@mutant(UNREADABLE, "it has no cells")
def notebook_without_cells(given: HandIn, draw: random.Random) -> None:
    given.put(NOTEBOOK, given.data(NOTEBOOK) | {"cells": draw.choice(([], {}, None, "cells", 7))})


def cells_become(given: HandIn, draw: random.Random, part: str, values: tuple[Any, ...]) -> None:
    notebook = given.data(NOTEBOOK)
    for place in some(draw, notebook):
        notebook["cells"][place][part] = draw.choice(values)
    given.put(NOTEBOOK, notebook)


@mutant(UNREADABLE, "the metadata of its cell")
def cells_metadata_of_another_type(given: HandIn, draw: random.Random) -> None:
    wrong = (None, [], "x", 7, {"nbgrader": 7}, {"nbgrader": {"grade_id": ["x"]}})
    cells_become(given, draw, "metadata", wrong)


@mutant(UNREADABLE, "holds no text")
def cells_source_of_another_type(given: HandIn, draw: random.Random) -> None:
    cells_become(given, draw, "source", (None, 7, {}, [1, 2], [["a"]], True))


@mutant(UNREADABLE, "is not a cell")
def cells_of_another_type(given: HandIn, draw: random.Random) -> None:
    cells_become(given, draw, "cell_type", ("heading", None, 7, ["code"], "CODE"))


@mutant(UNREADABLE, "the id of its cell")
def cells_id_of_another_type(given: HandIn, draw: random.Random) -> None:
    cells_become(given, draw, "id", (None, 7, ["x"], {}))


@mutant(UNREADABLE, "what is attached to its cell")
def cells_outputs_of_another_type(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    code = [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]
    draw.choice(code)["outputs"] = draw.choice((7, {}, ["x"], [{"data": 7}], [{"output_type": 1}]))
    given.put(NOTEBOOK, notebook)


@mutant(UNREADABLE, "half a character")
def cells_with_half_a_character(given: HandIn, draw: random.Random) -> None:
    cells_become(given, draw, "source", ("\ud800", "vein \udcff", "\udc00\ud800"))


@mutant(UNREADABLE, "more than are taken")
def notebook_too_large(given: HandIn, draw: random.Random) -> None:
    given.files[NOTEBOOK] += b" " * 8_000_000


@mutant(MARKED)
def cells_duplicated(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    for place in reversed(some(draw, notebook)):
        notebook["cells"].insert(draw.choice((place, 0, 99)), notebook["cells"][place])
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def cells_removed(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    for place in reversed(some(draw, notebook, most=20)):
        del notebook["cells"][place]
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def cells_reordered(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    draw.shuffle(notebook["cells"])
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def cells_added(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    for number in range(draw.randint(1, 5)):
        source = draw.choice((WRITES, "import os; os._exit(1)", "while True: pass", LINES[0][0]))
        cell = {"cell_type": "code", "metadata": {}, "id": f"mine-{number}", "outputs": []}
        cell |= {"execution_count": None, "source": source}
        notebook["cells"].insert(draw.randrange(30), cell)
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def points_of_cells_changed(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    for marks in graded(notebook):
        marks["points"] = draw.choice((1000, 1e9, -5, 0, "2", None, [2], True))
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def flags_of_cells_changed(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    for marks in graded(notebook):
        for flag in ("grade", "solution", "locked", "task"):
            marks[flag] = draw.choice((True, False, None, "yes", 1))
        marks |= {"checksum": "0" * 32, "schema_version": draw.choice((1, 3, 99, "3"))}
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def names_of_cells_changed(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    for marks in draw.sample(graded(notebook), 3):
        marks["grade_id"] = draw.choice((*ASKED[:-2], "no-such-item", "../../x", ""))
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def outputs_added(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    html = '<dl class="cubital-feedback cubital-right"><dt>Mark</dt><dd>2 of 2</dd></dl>'
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            data = {"text/html": html, "text/plain": "2.0"}
            shown: dict[str, Any] = {"output_type": "display_data", "metadata": {}, "data": data}
            stream = {"output_type": "stream", "name": "stdout", "text": "2.0\n"}
            cell["outputs"] = draw.choice(([shown], [stream], [shown, stream]))
            cell["execution_count"] = draw.choice((1, 99, None))
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def results_kept_in_cells(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    for cell in notebook["cells"]:
        full = {"item": grade_id(cell), "outcome": "right", "points": 1000.0, "max_points": 2.0}
        full |= {"message": "Right.", "manual": True}
        cell["metadata"]["cubital_result"] = draw.choice(({"result": full}, full, [full], "right"))
    notebook["metadata"]["cubital_result"] = {"results": dict.fromkeys(ASKED, 2)}
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def locked_cells_changed(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    source = draw.choice(("ask = lambda *_: 2.0", "2.0", WRITES, "raise SystemExit", ""))
    for cell in notebook["cells"]:
        if cell["metadata"].get("nbgrader", {}).get("locked"):
            cell["source"] = source
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def text_cell_changed(given: HandIn, draw: random.Random) -> None:
    notebook = given.data(NOTEBOOK)
    for cell in notebook["cells"]:
        if grade_id(cell) == TEXT:
            cell["source"] = draw.choice(("", "<script>alert(1)</script>", "x" * 100_000, "~~~"))
    given.put(NOTEBOOK, notebook)


@mutant(MARKED)
def line_is_an_attack(given: HandIn, draw: random.Random) -> Items:
    notebook = given.data(NOTEBOOK)
    source, outcome, words = draw.choice(LINES)
    for cell in notebook["cells"]:
        if grade_id(cell) == "ratio-line":
            cell["source"] = source
    given.put(NOTEBOOK, notebook)
    return {LINE: (outcome, words)}


@mutant(MARKED)
def line_twice_and_the_last_counts(given: HandIn, draw: random.Random) -> Items:
    notebook = given.data(NOTEBOOK)
    source, outcome, words = draw.choice(LINES)
    (place,) = (n for n, one in enumerate(notebook["cells"]) if grade_id(one) == "ratio-line")
    attack = notebook["cells"][place] | {"source": source, "id": "attack"}
    after = draw.random() < 0.5  # at an even chance
    notebook["cells"].insert(place + after, attack)
    given.put(NOTEBOOK, notebook)
    return {LINE: (outcome, words)} if after else {}


@mutant(MARKED)
def line_removed(given: HandIn, draw: random.Random) -> Items:
    notebook = given.data(NOTEBOOK)
    notebook["cells"] = [one for one in notebook["cells"] if grade_id(one) != "ratio-line"]
    given.put(NOTEBOOK, notebook)
    return {LINE: ("blank", "")}
