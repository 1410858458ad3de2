"""The sandbox as the marker uses it: jobs, many at a time, and what ends them."""

import os
import select
import signal
import subprocess
import sys
import sysconfig
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from cubital.marking.cells import bubblewrap, watching
from cubital.marking.cells.places import Job, NotRunError, RunnerError
from cubital.marking.cells.sandbox import Sandbox
from cubital.marking.cohort import collecting
from cubital.tables import course_folder

WORKSHEET = "catheter-sizing"
IMPORTS = {"source": "from cubital.worksheet import ask, hand_in_here", "item": ""}


def job(source: str, *, inputs: float = 1.0) -> Job:
    """A job whose cell defines ``f``, which is tried on one input."""
    asked = {"source": "ask('line', f)", "item": "line"}
    return {
        "cells": [IMPORTS, {"source": source, "item": ""}, asked],
        "cases": {"line": [{"x": inputs}]},
    }


def given(place: Sandbox, source: str, **more: Any) -> Any:
    """What ``f`` gives, or how the first cell stopped."""
    row = place.run("ann", job(source, **more), 20).rows()[0]
    return row.get("stopped") or row["error"] or row["results"][0]


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Sandbox]:
    with Sandbox(tmp_path_factory.mktemp("workspace")) as made:
        yield made


def test_cells_run_in_their_order_whatever_happens_in_one(place: Sandbox) -> None:
    cells = [
        IMPORTS,
        {"source": "n = 1", "item": ""},
        {"source": "n = 2\nraise ValueError('<b>no</b>')", "item": ""},
        {"source": "def f(x:\n    pass", "item": ""},
        {"source": "ask('other')\nask('line', print)\nhand_in_here()", "item": ""},
        {"source": "ask('line', lambda x: x + n)", "item": "line"},
    ]
    told = place.run("ann", {"cells": cells, "cases": {"line": [{"x": 1}, {"x": 2}]}}, 20)
    assert told.rows() == [
        {"stopped": "ValueError: <b>no</b>"},
        {"stopped": "SyntaxError: '(' was never closed (cell 4, line 1)"},
        {"item": "line", "results": [3, 4], "error": ""},
    ]
    assert (told.code, told.timed_out) == (0, False)


def test_results_leave_in_the_cell_of_their_item_alone(place: Sandbox) -> None:
    cells = [IMPORTS, {"source": "ask('line', lambda x: x)\nask('more', abs)", "item": "line"}]
    cases = {"line": [{"x": 1}], "more": [{"x": 2}]}
    rows = place.run("ann", {"cells": cells, "cases": cases}, 20).rows()
    assert rows == [{"item": "line", "results": [1], "error": ""}]


def test_a_cell_is_a_program_of_its_own(place: Sandbox) -> None:
    source = (
        "import dataclasses, pickle\n"
        "@dataclasses.dataclass\nclass Two:\n    x: float\n"
        "def f(x):\n    return pickle.loads(pickle.dumps(Two(2 * x))).x\n"
        "assert __name__ == '__main__'"
    )
    assert given(place, source, inputs=2.5) == 5.0


def test_chance_is_not_the_same_for_two(place: Sandbox) -> None:
    for draw in ("__import__('random').random()", "__import__('numpy').random.random()"):
        first, second = (given(place, f"f = lambda x: {draw}") for _ in range(2))
        assert first != second


def test_an_error_that_cannot_be_told_stops_its_cell_alone(place: Sandbox) -> None:
    odd = "class Odd(Exception):\n    def __str__(self):\n        raise SystemExit\nraise Odd"
    assert given(place, odd) == "an error that cannot be told"


def test_a_long_notebook_comes_through(place: Sandbox) -> None:
    text = "x" * 3_000_000
    assert given(place, f"text = '{text}'\nf = lambda x: len(text)") == 3_000_000


def test_many_at_a_time_get_each_their_own(place: Sandbox) -> None:
    def ask(number: int) -> Any:
        return given(place, f"f = lambda x: x + {number}", inputs=0.5)

    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(ask, range(40))) == [number + 0.5 for number in range(40)]


def test_no_cell_finds_what_an_earlier_one_left(place: Sandbox) -> None:
    leave = "import builtins, cubital\nopen('note', 'w').close()\nbuiltins.note = cubital.note = 1"
    find = (
        "import builtins, cubital, os\n"
        "f = lambda x: len(os.listdir('.')) + hasattr(builtins, 'note') + hasattr(cubital, 'note')"
    )
    assert given(place, f"{leave}\nf = lambda x: x") == 1
    assert given(place, find) == 0


def test_a_folder_that_is_closed_is_empty_though_it_lies_in_one_that_is_seen() -> None:
    closed = course_folder("assets") / "judges"
    assert os.listdir(closed)
    look = f"import os\nf = lambda x: len(os.listdir({str(closed)!r}))"
    write = f"f = lambda x: open({str(closed / 'new')!r}, 'w')"
    with Sandbox(closed) as place:
        assert given(place, look) == 0
        assert "Read-only file system" in given(place, write)


def test_of_a_workspace_that_python_is_installed_in_only_python_is_seen() -> None:
    """As after ``python -m venv spring`` and ``cubital cohort create --workspace spring``."""
    assert "include" in os.listdir(sys.prefix)
    with Sandbox(Path(sys.prefix)) as place:
        source = f"import os\nf = lambda x: ' '.join(sorted(os.listdir({sys.prefix!r})))"
        assert given(place, source) == "'bin lib lib64 pyvenv.cfg'"


def test_a_workspace_is_closed_even_where_python_needs_it() -> None:
    """Then nothing can be run there, which is no mark and not an open workspace."""
    place = Sandbox(Path(sysconfig.get_path("purelib")))
    with place, pytest.raises(NotRunError, match="no sandbox can be made here"):
        given(place, "f = lambda x: x")


def test_nothing_is_seen_that_belongs_to_somebody(tmp_path: Path) -> None:
    seen = bubblewrap.seen()
    for path in (Path.home(), Path.cwd(), tmp_path, Path("/etc"), Path("/"), Path("/tmp")):
        assert not [one for one in seen if path.is_relative_to(one)], path


def test_what_ended_inside_is_started_again(tmp_path: Path) -> None:
    before = children()
    with Sandbox(tmp_path) as place:
        assert given(place, "f = lambda x: x") == 1.0
        (process,) = children() - before
        os.kill(process, signal.SIGKILL)
        os.waitid(os.P_PID, process, os.WEXITED | os.WNOWAIT)
        assert given(place, "f = lambda x: x") == 1.0


def test_stopping_ends_what_runs(tmp_path: Path) -> None:
    before = children()
    with Sandbox(tmp_path) as place, ThreadPoolExecutor(1) as pool:
        given(place, "f = lambda x: x")
        (process,) = children() - before
        looping = pool.submit(place.run, "ann", job("while True:\n    pass"), 500)
        ended = [os.pidfd_open(pid) for pid in inner(process)]
        place.stop()
        with pytest.raises(RunnerError):
            looping.result(60)
        assert all(select.select([one], [], [], 60)[0] for one in ended)
        with pytest.raises(RunnerError, match="marking was stopped"):
            given(place, "f = lambda x: x")
        for one in ended:
            os.close(one)
    assert children() == before


def test_a_killed_marker_takes_the_sandbox_along(
    copy_code_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_code_course(tmp_path / "w", ["ann"])
    desk(course, "ann", tmp_path).write_cell("while True:\n    pass").hand_in()
    collecting.collect(course, WORKSHEET)
    command = [sys.executable, "-m", "cubital", "cohort", "mark", WORKSHEET]
    marking = subprocess.Popen(
        command, cwd=course.workspace, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    ended = [os.pidfd_open(pid) for pid in inner(marking.pid)]
    marking.kill()
    marking.wait()
    for one in ended:
        assert select.select([one], [], [], 60)[0], "it goes on"
        os.close(one)


def children() -> set[int]:
    """The processes that this one started and that are there."""
    return {pid for pid in watching.processes() if watching.parent_of(pid) == os.getpid()}


def inner(root: int) -> list[int]:
    """All processes below one, as soon as one of them runs cells: it is the first of its own."""
    while True:
        found = watching.descendants(root)
        if any(len(numbers(pid)) == 3 and numbers(pid)[-1] == "1" for pid in found):
            return found


def numbers(pid: int) -> list[str]:
    """A process's number in each list of processes that it is on."""
    try:
        status = Path(f"/proc/{pid}/status").read_text()
    except OSError:
        return []
    return next(line.split()[1:] for line in status.splitlines() if line.startswith("NSpid"))
