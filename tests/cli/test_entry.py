"""The command stops quietly, however early Ctrl-C comes."""

import subprocess
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


@pytest.mark.parametrize("words", [["--version"], ["cohort", "mark", "nothing"]])
def test_a_command_that_ends_is_not_looked_through_for_circles(
    words: list[str], tmp_path: Path
) -> None:
    code = (
        "import atexit, gc, sys; from cubital.__main__ import start\n"
        "atexit.register(lambda: print('frozen:', gc.get_freeze_count() > 10_000))\n"
        f"sys.argv = ['cubital', *{words!r}]; sys.exit(start())"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], check=False, cwd=tmp_path, capture_output=True, text=True
    )
    assert done.stdout.splitlines()[-1] == "frozen: True", done.stderr
