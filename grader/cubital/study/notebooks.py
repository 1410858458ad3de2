"""Notebooks of the course's own making, as plain data: a text, cells whose code is folded away."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from cubital.handin.files import write_json

_KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
_FORMAT = {"nbformat": 4, "nbformat_minor": 5}


def write_notebook(path: Path, cells: Iterable[dict[str, Any]]) -> None:
    """Write a notebook of these cells."""
    write_json(path, {"cells": [*cells], "metadata": {"kernelspec": _KERNEL}, **_FORMAT})


def text_cell(cell_id: str, source: str) -> dict[str, Any]:
    """Return a cell of text."""
    return {"cell_type": "markdown", "id": cell_id, "metadata": {}, "source": source}


def code_cell(cell_id: str, source: str) -> dict[str, Any]:
    """Return a cell of code, folded away."""
    return {
        "cell_type": "code",
        "id": cell_id,
        "metadata": {"jupyter": {"source_hidden": True}},
        "execution_count": None,
        "outputs": [],
        "source": source,
    }
