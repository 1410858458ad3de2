"""What the lessons' cells show: every table and picture, and every figure at what can be set."""

import ast
import contextlib
import hashlib
import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from cubital import tables
from cubital.explore.kit.explorer import Explorer


def lessons() -> list[str]:
    """Name the lessons."""
    return sorted(path.stem for path in tables.course_folder("modules").glob("*.ipynb"))


def shown(lesson: str, top: str) -> dict[str, Any]:
    """Return what each cell of a lesson shows, by its id, to somebody with a folder there."""
    folder = Path(top, "ada", "lessons")
    folder.mkdir(parents=True, exist_ok=True)
    with contextlib.chdir(folder):
        return {cell: _of_result(result) for cell, result in _results(lesson)}


def _results(lesson: str) -> Iterator[tuple[str, Any]]:
    """Run a lesson's cells in order; yield the last expression of each."""
    path = tables.course_folder("modules") / f"{lesson}.ipynb"
    names: dict[str, Any] = {}
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] != "code":
            continue
        tree = ast.parse("".join(cell["source"]))
        last = tree.body[-1]
        if not isinstance(last, ast.Expr):
            exec(compile(tree, cell["id"], "exec"), names)
            continue
        exec(compile(ast.Module(tree.body[:-1], []), cell["id"], "exec"), names)
        yield cell["id"], eval(compile(ast.Expression(last.value), cell["id"], "eval"), names)


def _of_result(result: Any) -> Any:
    if isinstance(result, Explorer):
        return {
            "title": result.title,
            "controls": plain(result.controls),
            **{name: _of_picture(result.compute(s)) for name, s in _states(result).items()},
        }
    if hasattr(result, "get_state"):  # a form that lives on the page
        return plain(result.get_state().get("blocks"))
    return result._repr_html_()


def _states(figure: Explorer) -> dict[str, dict[str, Any]]:
    """Return the states that are compared: as the cell sets it, each control by itself at its ends
    or choices, and all at their lowest, all at their highest."""
    start = figure.state()
    ends = {
        control["name"]: [value for value, _ in control["options"]]
        if "options" in control
        else [control["low"], control["high"]]
        for control in figure.controls
    }
    single = {
        f"{name} at {value}": start | {name: value} for name, ways in ends.items() for value in ways
    }
    low = start | {name: ways[0] for name, ways in ends.items()}
    high = start | {name: ways[-1] for name, ways in ends.items()}
    return {"as it stands": start, **single, "all lowest": low, "all highest": high}


def _of_picture(picture: Any) -> dict[str, Any]:
    words = {name: getattr(picture, name) for name in ("alt", "spoken", "svg")}
    return {
        "numbers": plain(picture.numbers),
        "readings": plain(picture.readings),
        "frame": plain(picture.frame),
        **words,
    }


def plain(value: Any) -> Any:  # noqa: PLR0911 - one line a type
    """Return a value as what JSON holds, with all its digits; pixels as their check sum."""
    if isinstance(value, np.ndarray):
        if value.dtype == np.uint8:
            data = np.ascontiguousarray(value).tobytes()
            return [list(value.shape), hashlib.sha256(data).hexdigest()]
        return [list(value.shape), plain(value.tolist())]
    if isinstance(value, np.generic):
        return value.item()
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if hasattr(value, "__dataclass_fields__"):
        return {name: plain(getattr(value, name)) for name in value.__dataclass_fields__}
    if hasattr(value, "_asdict"):
        return plain(value._asdict())
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    return value if isinstance(value, str | int | float | bool | None) else repr(value)
