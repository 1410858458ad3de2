"""What a page shows before Python answers: each cell's output at its defaults, drawn at build time.

A figure goes out as its own script, its style and its state, so that the page draws it by the very
script that draws it live. What depends on who learns is left out.
"""

import ast
import base64
import contextlib
import json
import multiprocessing
import sys
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any, NamedTuple

import anywidget
import ipywidgets
from IPython.core.formatters import DisplayFormatter

from cubital.explore.course.navigation import FirstQuestions
from cubital.explore.kit.explorer import Explorer
from cubital.handin.files import read_json
from cubital.study import site_files
from cubital.study.learner.reviewed import notices
from cubital.study.learner.welcome import Welcome
from cubital.worksheet.fields import AnswerField

PART = "application/vnd.cubital.part+json"
_ALIKE = (Explorer, FirstQuestions, Welcome)  # begin alike for whoever opens the page
_TOO_SOON = {"", "trials"}
_LARGEST = 8_000_000
# Python's side of the connection, and what JupyterLab lays a part out by: the page does without.
_NOT_SHOWN = {"_esm", "_css", "layout", "tabbable", "tooltip"}


def is_shown_early(shown: object) -> bool:
    """Tell whether a part is alike for whoever opens the page: of a practice, a question is, where
    showing it is no part of the answer, and it has no picture, which would be long to fetch."""
    if isinstance(shown, AnswerField):
        return (
            shown.kind not in _TOO_SOON and shown.state != "blocked" and "grey" not in shown.parts
        )
    return isinstance(shown, _ALIKE)


def frozen_page(notebook: Path) -> dict[str, Any]:
    """Return what the code cells of a laid out page show, run here in order.

    Returns
    -------
    dict
        ``modules`` and ``styles``, the texts of the parts' scripts and styles, each once;
        ``cells``, the outputs of each cell by its id, in which a part names its ``module`` and
        ``style`` by their places and has its ``state``, with bytes as ``$base64``; and
        ``reviewed``, what stands at the page's top of who has reviewed it.
    """
    modules: list[str] = []
    styles: list[str] = []
    cells: dict[str, Any] = {}
    with contextlib.chdir(notebook.parent):
        for cell, shown in _run(notebook):
            if is_shown_early(shown):
                data: Any = {PART: _part(shown, modules, styles)}
                metadata: Any = {}
                shown.close()
            elif shown is None or isinstance(shown, ipywidgets.Widget):
                continue
            else:
                data, metadata = DisplayFormatter().format(shown)
            cells[cell] = [{"output_type": "display_data", "data": data, "metadata": metadata}]
    page = {"modules": modules, "styles": styles, "cells": cells}
    return {**page, "reviewed": notices(notebook)}


def as_json(page: Mapping[str, Any]) -> bytes:
    """Return what a page shows as the file that the browser reads."""
    return json.dumps(page, default=_encoded, separators=(",", ":")).encode()


def drawn(notebooks: Mapping[str, Path], libraries: Sequence[str]) -> dict[str, "Drawn"]:
    """Draw pages, each in a fresh process, so that it shows what a page imports by itself.

    Parameters
    ----------
    notebooks
        The laid out pages by their names.
    libraries
        Those that a page may do without.
    """
    spawn = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(mp_context=spawn, max_tasks_per_child=1) as processes:
        jobs = {name: processes.submit(_drawn, path, libraries) for name, path in notebooks.items()}
        return {name: job.result() for name, job in jobs.items()}


class Drawn(NamedTuple):
    """A page's file, whether it shows anything, and which libraries it imported."""

    file: bytes
    is_empty: bool
    imported: tuple[str, ...]


def _drawn(notebook: Path, libraries: Sequence[str]) -> Drawn:
    site_files.runs_from("./")
    page = frozen_page(notebook)
    imported = tuple(name for name in libraries if name in sys.modules)
    return Drawn(as_json(page), not page["cells"], imported)


def _run(notebook: Path) -> Iterator[tuple[str, Any]]:
    """Run a page's cells in order; give each one's id and the value that it ends with."""
    names: dict[str, Any] = {}
    for cell in read_json(notebook, largest=_LARGEST)["cells"]:
        if cell["cell_type"] != "code":
            continue
        tree = ast.parse("".join(cell["source"]))
        last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
        exec(compile(tree, cell["id"], "exec"), names)
        if isinstance(last, ast.Expr):
            value = ast.Expression(last.value)
            yield cell["id"], eval(compile(value, cell["id"], "eval"), names)


def _part(shown: anywidget.AnyWidget, modules: list[str], styles: list[str]) -> dict[str, Any]:
    """Return a figure or a form as plain data, its script and style added where they are new."""
    state = shown.get_state()
    return {
        "module": _place(modules, state["_esm"]),
        "style": _place(styles, state["_css"]),
        "state": {
            name: value
            for name, value in state.items()
            if name == "_anywidget_id" or not (name.startswith("_") or name in _NOT_SHOWN)
        },
    }


def _place(texts: list[str], text: str) -> int:
    if text not in texts:
        texts.append(text)
    return texts.index(text)


def _encoded(value: object) -> dict[str, str]:
    if isinstance(value, bytes | bytearray | memoryview):
        return {"$base64": base64.b64encode(value).decode()}
    raise TypeError(f"{type(value).__name__} cannot be shown before Python answers")
