"""Under which licence each package of a site is, and the texts of these licences."""

import importlib.metadata
import io
import re
import zipfile
from collections.abc import Iterable, Mapping
from email.message import Message
from email.parser import HeaderParser
from pathlib import Path, PurePosixPath
from typing import NamedTuple

_TEXT = re.compile(r"(licen[cs]e|copying|notice)", re.IGNORECASE)
_NAMED = re.compile(r"\b(Apache|BSD|HPND|ISC|MIT|MPL|PSF)\b")
_LONGEST_NAME = 40  # more is the licence's text, not its name


class Package(NamedTuple):
    """A package: its name, its version, and its licence's name."""

    name: str
    version: str
    licence: str


def of_metadata(text: str, known: Mapping[str, str] | None = None) -> Package:
    """Return which package a METADATA file tells of.

    Parameters
    ----------
    known
        Licences that are known otherwise, by the package's name.

    Raises
    ------
    ValueError
        It names no licence.
    """
    told = HeaderParser().parsestr(text)
    name = told["Name"].strip()
    licence = (known or {}).get(normal(name)) or _licence(told)
    if not licence:
        raise ValueError(f"the package {name} names no licence")
    return Package(name, told["Version"].strip(), licence)


def _licence(told: Message) -> str:
    first = (told["License"] or "").strip().partition("\n")[0].strip()
    listed = [
        one.rpartition(" :: ")[2]
        for one in told.get_all("Classifier", [])
        if one.startswith("License :: ")
    ]
    named = first if len(first) <= _LONGEST_NAME and _NAMED.search(first) else ""
    return told["License-Expression"] or named or ", ".join(listed)


def normal(name: str) -> str:
    """Return a package's name as all of its spellings have it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def of_installed(name: str) -> Package:
    """Return which package is installed under a name."""
    metadata = importlib.metadata.distribution(name).read_text("METADATA") or ""
    return of_metadata(metadata)


def all_texts(wheels: Iterable[tuple[str, bytes]], installed: Iterable[str]) -> str:
    """Return the licences that wheels and installed packages carry, one after the other.

    Parameters
    ----------
    wheels
        The name and the bytes of each.
    """
    found = {name: _of_wheel(data) for name, data in wheels}
    found |= {name: _of_installed(name) for name in installed}
    return "\n\n".join(
        f"{'=' * 78}\n{name}\n{'=' * 78}\n\n{text.strip()}\n"
        for name in sorted(found, key=str.lower)
        for text in found[name]
    )


def _is_text(path: PurePosixPath) -> bool:
    inside = any(part.endswith(".dist-info") for part in path.parts)
    return inside and bool(_TEXT.search(path.name))


def _of_wheel(data: bytes) -> list[str]:
    with zipfile.ZipFile(io.BytesIO(data)) as wheel:
        return [
            wheel.read(name).decode(errors="replace")
            for name in wheel.namelist()
            if _is_text(PurePosixPath(name))
        ]


def _of_installed(name: str) -> list[str]:
    found = importlib.metadata.distribution(name)
    return [
        Path(str(found.locate_file(path))).read_text(encoding="utf-8", errors="replace")
        for path in found.files or ()
        if _is_text(PurePosixPath(path.as_posix()))
    ]
