"""Whatever a cell does in the sandbox is its own item's, and the marker's things stay as they were.

All hostile cells are marked in one go, as root where the tests run as root, and as an account
without rights.
"""

import json
import os
import shutil
import socket
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from cubital.marking.cells import bubblewrap
from cubital.marking.cohort import collecting

from . import hostile

WORKSHEET = "catheter-sizing"
SECONDS = "10"
NOBODY = 65534
DRIVER = Path(__file__).with_name("deciding.py")
CHECKOUT = Path(__file__).resolve().parents[3]
ME = os.geteuid()
ACCOUNTS = [ME, NOBODY] if ME == 0 else [ME]
# Where the kernel lets nothing in the sandbox make a namespace of its own; each takes a second.
FEW = ("writes", "secrets", "network", "kills", "signals-by-pipe", "calls")


def closed_to_others(path: Path) -> Path | None:
    """The outermost folder on the way to a path that others cannot pass through."""
    ways = (way for way in [*path.parents][::-1] if not way.stat().st_mode & stat.S_IXOTH)
    return next(ways, None)


def as_account(uid: int) -> list[str]:
    """The words that run a command as an account, who can reach Python wherever it lies."""
    if uid == ME:
        return []
    words = ["bwrap", "--dev-bind", "/", "/"]
    for path in [*bubblewrap.seen(), CHECKOUT]:
        closed = closed_to_others(path)
        if closed is not None:
            if str(closed) not in words:
                words += ["--tmpfs", str(closed)]
            for parent in [*path.parents][::-1]:
                if parent.is_relative_to(closed):
                    words += ["--dir", str(parent)]
            words += ["--ro-bind", str(path), str(path)]
    drop = ["setpriv", f"--reuid={uid}", f"--regid={uid}", "--clear-groups"]
    return [*words, "--", *drop, "--inh-caps=-all", "--bounding-set=-all"]


def contents(folder: Path) -> dict[str, Any]:
    """What a folder holds: each file's bytes, mode and time of change."""
    found: dict[str, Any] = {}
    for path in sorted(folder.rglob("*")):
        seen = path.lstat()
        data = path.read_bytes() if stat.S_ISREG(seen.st_mode) else b""
        found[str(path.relative_to(folder))] = (seen.st_mode, seen.st_mtime_ns, data)
    return found


class Marked:
    """A cohort of hostile hand-ins, decided by a process of its own."""

    def __init__(self, copy_code_course: Any, desk: Any, names: Sequence[str], uid: int) -> None:
        self.uid = uid
        self.folder = Path(tempfile.mkdtemp(prefix="cubital-hostile-"))
        self.folder.chmod(0o755)
        self.home = self.folder / "home"
        self.home.mkdir()
        (self.home / "token").write_text("not for learners")
        with socket.create_server(("127.0.0.1", 0)) as self.listening:
            self.course = copy_code_course(self.folder / "workspace", names)
            for name in names:
                at = desk(self.course, name, self.folder / "desks")
                port = self.listening.getsockname()[1]
                source = hostile.cell(name, str(self.course.workspace), str(self.home), port)
                at.answer().write_cell(source).hand_in()
            collecting.collect(self.course, WORKSHEET)
            shutil.rmtree(self.folder / "desks")
            # What the marker itself makes is made before the comparison begins.
            with self.course.gradebook():
                pass
            if uid != ME:
                for path in (self.folder, *self.folder.rglob("*")):
                    os.chown(path, uid, uid)

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
        self.before = contents(self.folder)
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
        self.after = contents(self.folder)
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
    made = Marked(copy_code_course, desk, list(hostile.CELLS), request.param)
    made.results = made.decide()
    yield made
    made.end()


@pytest.mark.parametrize("name", hostile.CELLS)
def test_a_hostile_cell_reaches_nothing_and_decides_its_own_item_alone(
    marked: Any, name: str
) -> None:
    _, outcome, points, words = hostile.CELLS[name]
    *told, said = marked.results[name]
    assert told == ["marked", "", outcome, points], said
    assert words in said


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
        assert results[name][:4] == ["marked", "", *hostile.CELLS[name][1:3]], results[name]
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
WORK = ("writes-elsewhere", "reads", "secrets", "network", "note-one", "note-two", "fills")


def test_the_same_cells_get_what_they_try_for_without_the_sandbox_and_the_result_says_so(
    copy_code_course: Any, desk: Any
) -> None:
    one = Marked(copy_code_course, desk, WORK, ME)
    results = one.decide("unprotected")
    one.end()
    for name in WORK:
        assert results[name][2] == "refused", (name, results[name])
        assert "(Run without protection.)" in results[name][4]


@pytest.mark.parametrize("name", ["writes", "links"])
def test_the_same_cells_change_the_workspace_without_the_sandbox(
    copy_code_course: Any, desk: Any, name: str
) -> None:
    one = Marked(copy_code_course, desk, [name], ME)
    with pytest.raises(AssertionError, match=f"changed while the cells of “{name}” ran"):
        one.decide("unprotected")
    one.end()
