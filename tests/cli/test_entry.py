"""The command stops quietly, however early Ctrl-C comes."""

import sys
import tomllib
from pathlib import Path
from types import ModuleType

import pytest

from cubital import __main__ as entry


class Loading(ModuleType):
    """A package during whose loading somebody presses Ctrl-C."""

    def __getattr__(self, name: str) -> None:
        raise KeyboardInterrupt


def test_ctrl_c_while_the_command_loads_ends_with_the_status_of_shells(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "cubital.cli", Loading("cubital.cli"))
    assert entry.start() == 130
    assert capsys.readouterr().out == "\nStopped. Nothing was begun.\n"


def test_the_installed_command_begins_there() -> None:
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text("utf-8"))
    assert project["project"]["scripts"] == {"cubital": "cubital.__main__:start"}
