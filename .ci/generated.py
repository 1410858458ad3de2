"""The list of generated files beside them: how each was made, and its check sum."""

import hashlib
import tomllib
from collections.abc import Iterable
from pathlib import Path

LIST = "generated.toml"
HEAD = "# Generated files of this folder: how each is made, and its check sum.\n"


def digest(path: Path) -> str:
    """Return the check sum of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def record(command: str, files: Iterable[Path], *, folder: Path) -> None:
    """Enter the files that a command made into their folder's list, and forget its earlier ones."""
    path = folder / LIST
    listed = tomllib.loads(path.read_text(encoding="utf-8")) if path.is_file() else {}
    kept = {name: row for name, row in listed.items() if row["command"] != command}
    kept |= {file.name: {"command": command, "sha256": digest(file)} for file in files}
    rows = [
        f'\n["{name}"]\ncommand = "{row["command"]}"\nsha256 = "{row["sha256"]}"\n'
        for name, row in sorted(kept.items())
    ]
    path.write_text(HEAD + "".join(rows), encoding="utf-8", newline="\n")
