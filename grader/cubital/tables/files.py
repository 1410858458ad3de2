"""How assets are found and read: TOML tables, CSV tables, and tables kept in several files."""

import csv
import tomllib
from pathlib import Path
from typing import Any, TypeVar

PARTS = ("modules", "exercises", "assets")
Row = TypeVar("Row")


def course_folder(part: str) -> Path:
    """Return the folder of one part of the course, installed or in a checkout."""
    if part not in PARTS:
        raise ValueError(f"no part of the course is called {part!r}: choose one of {PARTS}")
    package = Path(__file__).resolve().parents[1]
    installed = package / "course" / part
    return installed if installed.is_dir() else package.parents[1] / part


def read_toml(path: Path) -> dict[str, Any]:
    """Read a TOML file; one that is not readable raises ValueError with its path."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8-sig"))  # some editors begin with a mark
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"{path} is not readable as TOML: {error}") from error
    except UnicodeDecodeError as error:
        raise ValueError(f"{path} is not text in UTF-8: save it in that encoding") from error


def asset(name: str) -> dict[str, Any]:
    """Return one of the course's TOML tables."""
    return read_toml(course_folder("assets") / name)


def script(path: Path) -> str:
    """Return a part's own script for the page, after what all parts stand on."""
    return with_common(path.read_text(encoding="utf-8"))


def with_common(own: str) -> str:
    """Return a script after what all parts of a page stand on."""
    common = course_folder("assets") / "scripts" / "parts.js"
    return f"{common.read_text(encoding='utf-8')}\n{own}"


def style(*names: str) -> str:
    """Return style sheets of the course after the tokens that all of them are written with."""
    styles = course_folder("assets") / "styles"
    return "\n".join((styles / name).read_text(encoding="utf-8") for name in ("tokens.css", *names))


def _convert(text: str, kind: Any) -> Any:
    """Turn a cell of a CSV table into the type its field declares."""
    if kind == tuple[float, ...]:
        return tuple(float(part) for part in text.split(";"))
    if kind == tuple[str, ...]:
        return tuple(text.split(";"))
    if kind in (float | None, str | None):
        return None if text == "" else _convert(text, float if kind == float | None else str)
    return kind(text)


def csv_rows(name: str, row_type: type[Row]) -> tuple[Row, ...]:
    """Return the rows of one of the course's CSV tables, whose columns are the row's fields."""
    return own_rows(course_folder("assets") / name, row_type)


def own_rows(path: Path, row_type: type[Row]) -> tuple[Row, ...]:
    """Return the rows of a CSV table, the course's or a department's."""
    kinds = row_type.__annotations__
    with path.open(encoding="utf-8-sig", newline="") as file:  # some editors begin with a mark
        reader = csv.DictReader(file, strict=True)
        if set(reader.fieldnames or ()) != set(kinds):
            raise ValueError(f"{path} has other columns than {sorted(kinds)}")
        return tuple(
            row_type(**{key: _convert(text, kinds[key]) for key, text in row.items()})
            for row in reader
        )


def merged(name: str) -> dict[str, Any]:
    """Return the tables of every topic's ``<name>.toml`` as one.

    Raises
    ------
    ValueError
        Two of the files hold the same key.
    """
    table: dict[str, Any] = {}
    for path in sorted(course_folder("assets").rglob(f"{name}.toml")):
        own = read_toml(path)
        twice = sorted(set(own) & set(table))
        if twice:
            raise ValueError(f"{path} gives again what another file gives: {', '.join(twice)}")
        table |= own
    return table
