"""Whatever a cell does in the sandbox is its own item's, and the marker's things stay as they were.

All hostile cells are marked in one go, as root where the tests run as root, and as an account
without rights.
"""

import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from cubital.marking.cohort import collecting

from ...recording import Recorder, Told
from ..accounts import ACCOUNTS, ME, as_account, give
from ..untouched import held
from . import attacks

WORKSHEET = "catheter-sizing"
SECONDS = "20"  # whoever else is at work on this computer: an honest cell takes one
DRIVER = Path(__file__).with_name("deciding.py")
# Where the kernel lets nothing in the sandbox make a namespace of its own; each takes a second.
FEW = ("writes", "secrets", "network", "kills", "signals-by-pipe", "calls")


class Marked:
    """A cohort of hostile hand-ins, decided by a process of its own."""

    def __init__(self, copy_code_course: Any, desk: Any, names: Sequence[str], uid: int) -> None:
        self.uid = uid
        self.folder = Path(tempfile.mkdtemp(prefix="cubital-hostile-"))
        self.folder.chmod(0o755)
        self.home = self.folder / "home"
        self.home.mkdir()
        (self.home / "token").write_text("not for learners")
        runtime = self.home / ".local" / "share" / "jupyter" / "runtime"
        runtime.mkdir(parents=True)
        (runtime / "kernel-1.json").write_text('{"key": "not for learners"}')
        with socket.create_server(("127.0.0.1", 0)) as self.listening:
            self.course = copy_code_course(self.folder / "workspace", names)
            for name in names:
                at = desk(self.course, name, self.folder / "desks")
                port = self.listening.getsockname()[1]
                source = attacks.cell(
                    attacks.CELLS[name], str(self.course.workspace), str(self.home), port
                )
                at.answer().write_cell(source).hand_in()
            collecting.collect(self.course, WORKSHEET)
            shutil.rmtree(self.folder / "desks")
            # What the marker itself makes is made before the comparison begins.
            with self.course.gradebook():
                pass
            give(self.folder, uid)

    def decide(self, how: str = "", command: Sequence[str] | None = None) -> dict[str, list[Any]]:
        """Decide all marks, and keep what the folder held before and after."""
        run = [sys.executable, str(DRIVER), str(self.course.workspace), SECONDS, *how.split()]
        words = as_account(self.uid) if command is None else command
        environment = {
            "PATH": os.environ["PATH"],
            "HOME": str(self.home),
            "PYTHONDONTWRITEBYTECODE": "1",
            "WARD_SECRET": "not for learners",
        }
        self.before = held(self.folder, times=True)
        done = subprocess.run(
            [*words, *run],
            cwd=self.course.workspace,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
            timeout=500,
        )
        assert done.returncode == 0, done.stderr[-3000:]
        self.after = held(self.folder, times=True)
        found: dict[str, list[Any]] = json.loads(done.stdout)
        return found

    def end(self) -> None:
        """Take the folder away."""
        shutil.rmtree(self.folder)


@pytest.fixture(params=ACCOUNTS, ids=lambda uid: f"uid-{uid}")
def uid(request: pytest.FixtureRequest) -> int:
    """Who marks."""
    number: int = request.param
    return number


@pytest.fixture(scope="module", params=ACCOUNTS, ids=lambda uid: f"uid-{uid}")
def marked(request: pytest.FixtureRequest, copy_code_course: Any, desk: Any) -> Iterator[Marked]:
    made = Marked(copy_code_course, desk, list(attacks.CELLS), request.param)
    made.results = made.decide()
    yield made
    made.end()


@pytest.mark.parametrize("name", attacks.CELLS)
def test_a_hostile_cell_reaches_nothing_and_decides_its_own_item_alone(
    marked: Any, name: str, recorder: Recorder
) -> None:
    attack = attacks.CELLS[name]
    state, reason, outcome, points, said = marked.results[name]
    recorder.saw(
        f"a cell: {attack.does}",
        Told(attack.outcome, attack.points),
        Told(outcome, points, said),
        most=2,
        honest=attack.honest,
    )
    assert (state, reason, outcome, points) == ("marked", "", attack.outcome, attack.points), said
    assert attack.words in said
    assert all(sign.isprintable() or sign.isspace() for sign in said)


def test_workspace_and_home_are_as_they_were(marked: Any) -> None:
    assert marked.after.keys() == marked.before.keys()
    assert marked.after == marked.before


def test_where_no_namespace_can_be_made_inside_each_hand_in_has_a_sandbox_for_itself(
    copy_code_course: Any, desk: Any, uid: int
) -> None:
    one = Marked(copy_code_course, desk, FEW, uid)
    results = one.decide("refused-inside")
    one.end()
    for name in FEW:
        assert results[name][:4] == ["marked", "", *attacks.CELLS[name][2:4]], results[name]
    assert one.after == one.before


def test_where_bubblewrap_is_missing_nothing_is_run_and_what_to_install_is_said(
    copy_code_course: Any, desk: Any, tmp_path: Path
) -> None:
    one = Marked(copy_code_course, desk, ["writes", "a-whole"], ME)
    results = one.decide(command=["env", f"PATH={tmp_path}"])
    one.end()
    said = (
        "The function was not run, so there is no mark: no sandbox can be made here: the program "
        "bwrap is not installed. Install bubblewrap (on Debian and Ubuntu: apt install "
        "bubblewrap), on a Linux that lets it make namespaces, and mark again."
    )
    assert list(results.values()) == [["marked", "", "not_run", None, said]] * 2
    assert one.after == one.before


def test_where_the_kernel_refuses_bubblewrap_nothing_is_run_and_its_reason_is_said(
    copy_code_course: Any, desk: Any
) -> None:
    one = Marked(copy_code_course, desk, ["writes"], ME)
    refused = [
        "bwrap",
        "--unshare-user",
        "--disable-userns",
        "--uid",
        "1000",
        "--dev-bind",
        "/",
        "/",
        "--",
    ]
    results = one.decide(command=refused)
    one.end()
    state, _, outcome, points, said = results["writes"]
    assert (state, outcome, points) == ("marked", "not_run", None)
    assert "no sandbox can be made here: bwrap: " in said
    assert "Install bubblewrap (" in said
    assert one.after == one.before


# Cells whose attack works where nothing stands in its way, else they would prove nothing; those
# that harm the computer that runs the tests are left out.
WORK = (
    "writes-elsewhere",
    "reads",
    "reads-seals",
    "kernel-keys",
    "secrets",
    "network",
    "note-one",
    "note-two",
    "fills",
)


def test_the_same_cells_get_what_they_try_for_without_the_sandbox_and_the_result_says_so(
    copy_code_course: Any, desk: Any
) -> None:
    one = Marked(copy_code_course, desk, WORK, ME)
    results = one.decide("unprotected")
    one.end()
    for name in WORK:
        assert results[name][2] == "refused", (name, results[name])
        assert "(Run without protection.)" in results[name][4]


@pytest.mark.parametrize(
    "name", ["writes", "marks", "links", pytest.param("configures", marks=pytest.mark.long)]
)
def test_the_same_cells_change_the_workspace_without_the_sandbox(
    copy_code_course: Any, desk: Any, name: str
) -> None:
    one = Marked(copy_code_course, desk, [name], ME)
    with pytest.raises(AssertionError, match=f"changed while the cells of “{name}” ran"):
        one.decide("unprotected")
    one.end()
