"""Generated files are as their command left them: nobody edits them by hand."""

import hashlib
import importlib
import inspect
import re
import tomllib
from pathlib import Path

import pytest

from cubital import calc

CHECKOUT = Path(__file__).resolve().parents[2]
ASSETS = CHECKOUT / "assets"


@pytest.fixture
def script(monkeypatch):
    """Import a script of the checkout by its name."""
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")
    return importlib.import_module


@pytest.mark.parametrize("name", ["docs", "fitted"])
def test_every_generated_file_is_listed_with_its_command_and_unchanged(name):
    folder = ASSETS / name
    listed = tomllib.loads((folder / "generated.toml").read_text(encoding="utf-8"))
    files = {path.name for path in folder.iterdir()} - {"generated.toml"}
    assert files == set(listed)
    for file, told in listed.items():
        assert told["command"]
        digest = hashlib.sha256((folder / file).read_bytes()).hexdigest()
        assert digest == told["sha256"], f"{file} differs: run {told['command']}"


def test_the_page_of_calculations_is_what_the_code_makes(script):
    api_page = script("api_page")
    is_current = api_page.PAGE.read_text(encoding="utf-8") == api_page.page()
    assert is_current, f"{api_page.PAGE.name} is stale: run {api_page.COMMAND}"


def test_the_page_of_calculations_lists_every_function_with_its_equation_and_source(script):
    entries = re.split(r"^### ", script("api_page").page(), flags=re.MULTILINE)[1:]
    found = {re.match(r"`(\w+)\(", entry)[1]: entry for entry in entries}
    functions = {name for name in calc.__all__ if inspect.isroutine(getattr(calc, name))}
    assert set(found) == functions
    for name, entry in found.items():
        _, summary, equation, *_ = entry.split("\n\n")
        assert summary.endswith("."), name
        assert "`" in equation, name
        assert re.search(r"\nSources: \[[\w-]+\]\(#", entry), name
        assert not re.search(r" \[\]:", entry), name


def test_a_command_enters_its_own_files_and_leaves_those_of_others(script, tmp_path):
    record = script("generated").record
    for name in ("a.png", "b.png", "page.md"):
        (tmp_path / name).write_text(name)
    record("make pictures", [tmp_path / "b.png", tmp_path / "a.png"], folder=tmp_path)
    record("make page", [tmp_path / "page.md"], folder=tmp_path)
    record("make pictures", [tmp_path / "a.png"], folder=tmp_path)
    listed = tomllib.loads((tmp_path / "generated.toml").read_text())
    assert list(listed) == ["a.png", "page.md"]
    assert listed["page.md"] == {
        "command": "make page",
        "sha256": hashlib.sha256(b"page.md").hexdigest(),
    }
