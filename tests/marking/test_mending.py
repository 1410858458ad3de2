"""A mended submission is the release, with the learner's own cells in it and nothing else."""

import json
import random
from pathlib import Path
from typing import Any

import nbformat
import pytest

from cubital.marking import notebooks

WORKSHEET = "catheter-sizing"


@pytest.fixture
def released(released_workspace: Path) -> dict[str, Any]:
    path = released_workspace / "release" / WORKSHEET / f"{WORKSHEET}.ipynb"
    return json.loads(path.read_text(encoding="utf-8"))


def copied(notebook: dict[str, Any]) -> dict[str, Any]:
    return json.loads(json.dumps(notebook))


def sources(notebook: dict[str, Any]) -> list[tuple[str, str]]:
    return [(cell["id"], notebooks.source_text(cell)) for cell in notebook["cells"]]


def test_the_release_is_its_own_mending(released: dict[str, Any]) -> None:
    assert sources(notebooks.mend(released, released)) == sources(released)


def test_any_order_and_any_loss_of_cells_is_mended(released: dict[str, Any]) -> None:
    chance = random.Random(7)
    for _ in range(20):
        torn = copied(released)
        torn["cells"] = chance.sample(torn["cells"], chance.randrange(1, len(torn["cells"])))
        mended = notebooks.mend(torn, released)
        assert sources(mended) == sources(released)
        assert [c["metadata"] for c in mended["cells"]] == [
            c["metadata"] for c in released["cells"]
        ]


def test_only_answer_cells_and_added_cells_are_the_learners(released: dict[str, Any]) -> None:
    torn = copied(released)
    for cell in torn["cells"]:
        if "nbgrader" in cell["metadata"]:
            cell["source"] = ["mine\n", "too"]
    torn["cells"].insert(3, {"cell_type": "code", "metadata": {"x": 1}, "source": "added"})
    mended = notebooks.mend(torn, released)
    mine = [cell["id"] for cell in mended["cells"] if notebooks.source_text(cell) == "mine\ntoo"]
    assert mine == ["ratio-code-answer", "reasons"]
    added = [cell for cell in mended["cells"] if cell["source"] == "added"]
    assert [(cell["metadata"], cell["outputs"]) for cell in added] == [({}, [])]
    assert mended["cells"].index(added[0]) == 3
    assert len({cell["id"] for cell in mended["cells"]}) == len(mended["cells"])


def test_of_two_cells_with_one_name_the_last_counts(released: dict[str, Any]) -> None:
    torn = copied(released)
    at = next(n for n, c in enumerate(torn["cells"]) if c["id"] == "ratio-code-answer")
    torn["cells"].insert(at, torn["cells"][at] | {"source": "first", "id": "x"})
    torn["cells"][at + 1]["source"] = "last"
    mended = notebooks.mend(torn, released)
    (answer,) = (c for c in mended["cells"] if c["id"] == "ratio-code-answer")
    assert answer["source"] == "last"
    assert [notebooks.marks_of(c) for c in mended["cells"] if c["source"] == "first"] == [{}]


@pytest.mark.parametrize(
    ("notebook", "words"),
    [
        ([], "not a notebook"),
        ({"nbformat": 3}, "format 3"),
        ({"cells": []}, "format None"),
        ({"nbformat": 4, "cells": {}}, "no cells"),
        ({"nbformat": 4, "cells": [7]}, "its cell 1 is not a cell"),
        ({"nbformat": 4, "cells": [{"cell_type": "heading"}]}, "its cell 1 is not a cell"),
        ({"nbformat": 4, "cells": [{"cell_type": "code", "source": [1]}]}, "holds no text"),
    ],
)
def test_what_is_no_notebook_is_told(notebook: Any, words: str) -> None:
    assert words in notebooks.faults(notebook)


ODD = (None, 7, -0.5, True, "", "word", [], [1], ["a", "b"], {}, {"a": 1}, {"a": {"b": [1]}})


def places(data: Any, here: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The way to each value in a notebook."""
    if not isinstance(data, dict | list):
        return []
    found = []
    for key, value in data.items() if isinstance(data, dict) else enumerate(data):
        found += [(*here, key), *places(value, (*here, key))]
    return found


def test_what_has_no_fault_is_read_by_nbgrader_too(released: dict[str, Any]) -> None:
    """A notebook with one odd value is named as faulty, or nbgrader's reading takes it."""
    whole = copied(released)
    whole["cells"] = (
        whole["cells"][:3] + [cell for cell in whole["cells"] if cell["cell_type"] == "code"][:2]
    )
    whole["cells"][0]["attachments"] = {"a.png": {"image/png": ["x", "y"]}}
    whole["cells"][-1]["outputs"] = [
        {"output_type": "stream", "name": "stdout", "text": ["a\n", "b"]},
        {"output_type": "display_data", "metadata": {}, "data": {"text/plain": ["a"]}},
    ]
    assert notebooks.faults(whole) == ""
    chance, faulty = random.Random(3), 0
    ways = places(whole)
    assert len(ways) > 60
    for way in ways:
        for odd in chance.sample(ODD, 6):
            torn = copied(whole)
            at = torn
            for key in way[:-1]:
                at = at[key]
            at[way[-1]] = odd
            if notebooks.faults(torn):
                faulty += 1
            else:
                nbformat.convert(nbformat.v4.reads(json.dumps(torn)), 4)
    assert faulty > 60


def test_a_notebook_that_lacks_metadata_or_they_of_a_cell_is_faulty(
    released: dict[str, Any],
) -> None:
    for torn, at in ((copied(released), []), (copied(released), ["cells", 1])):
        inner = torn
        for key in at:
            inner = inner[key]
        del inner["metadata"]
        assert "metadata" in notebooks.faults(torn)


def test_what_is_kept_of_a_notebook_mends_to_the_same(released: dict[str, Any]) -> None:
    chance = random.Random(11)
    for _ in range(20):
        torn = copied(released)
        torn["cells"] = chance.sample(torn["cells"], chance.randrange(1, len(torn["cells"])))
        for cell in chance.sample(torn["cells"], min(3, len(torn["cells"]))):
            cell["source"] = ["mine\n", "too"]
            cell["metadata"] |= {"nbgrader": {}} if chance.random() < 0.5 else {}
        torn["cells"].append({"cell_type": "code", "metadata": {"x": 1}, "source": "added"})
        assert notebooks.mend(notebooks.lean(torn), released) == notebooks.mend(torn, released)
    twice = [notebooks.lean(copied(released))["cells"] for _ in range(2)]
    assert all(one is other for one, other in zip(*twice, strict=True))
