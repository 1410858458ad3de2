"""A mended submission is the release, with the learner's own cells in it and nothing else."""

import json
import random
from pathlib import Path
from typing import Any

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
