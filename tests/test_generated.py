"""Generated files are as their command left them: nobody edits them by hand."""

import hashlib
import tomllib
from pathlib import Path

import pytest

ASSETS = Path(__file__).resolve().parents[1] / "assets"


@pytest.mark.parametrize("name", ["docs"])
def test_every_generated_file_is_listed_with_its_command_and_unchanged(name):
    folder = ASSETS / name
    listed = tomllib.loads((folder / "generated.toml").read_text(encoding="utf-8"))
    files = {path.name for path in folder.iterdir()} - {"generated.toml"}
    assert files == set(listed)
    for file, told in listed.items():
        assert told["command"]
        digest = hashlib.sha256((folder / file).read_bytes()).hexdigest()
        assert digest == told["sha256"], f"{file} differs: run {told['command']}"
