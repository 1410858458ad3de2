"""What the command leaves on a computer is closed to its other users."""

import contextlib
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from cubital.cli import main
from cubital.handin.bundle import hand_in
from cubital.study import folders

NOBODY = 65534  # the account that no person has, on Linux by convention
LEARNER = "ada.alder"
WORKSHEET = "catheter-sizing"


def everybodys_folder():
    """A folder that everybody may look into, as a shared computer's would be."""
    folder = Path(tempfile.mkdtemp(prefix="cubital-closed-"))
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


place = pytest.fixture(everybodys_folder)
cohorts_place = pytest.fixture(everybodys_folder, scope="module")
servers_place = pytest.fixture(everybodys_folder, scope="module")


@pytest.fixture(scope="module")
def cohort(cohorts_place):
    """A cohort's folder, open when it was made, with one learner marked by the command."""
    workspace, roster = cohorts_place / "spring", cohorts_place / "roster.csv"
    workspace.mkdir()
    workspace.chmod(0o755)
    make_cohort(workspace, roster)
    roster.unlink()  # the educator's own file
    return workspace


def open_to_others(folder):
    """What another account can list or read in a folder: as root by trying, else by the modes."""
    plain = folder / "plain.txt"
    plain.write_text("for everybody", encoding="utf-8")
    plain.chmod(0o644)
    if os.geteuid() == 0:
        tried = subprocess.run(
            ["find", str(folder), "-readable"],
            user=NOBODY,
            group=NOBODY,
            extra_groups=[],
            capture_output=True,
            text=True,
            check=False,
        )
        found = {Path(line) for line in tried.stdout.splitlines()}
    else:
        found = set(by_modes(folder))
    assert plain in found
    plain.unlink()
    return {str(path.relative_to(folder)) for path in found} - {".", plain.name}


def by_modes(path):
    """What is open to others by its mode, and so are all folders on the way to it."""
    mode = path.stat().st_mode
    if mode & 0o004:
        yield path
    if path.is_dir() and mode & 0o001:
        for inside in path.iterdir():
            yield from by_modes(inside)


def make_cohort(workspace, roster):
    """Release, hand in, collect, mark, return and report, all by the command."""
    where = ("--workspace", str(workspace))
    roster.write_text(f"id,first_name,last_name\n{LEARNER},Ada,Alder\n", encoding="utf-8")
    assert main(["cohort", "create", "--roster", str(roster), *where]) == 0
    assert main(["cohort", "release", WORKSHEET, "--name", "spring", *where]) == 0
    handout = workspace / "handout" / f"{WORKSHEET}.zip"
    with tempfile.TemporaryDirectory() as home:
        opened = folders.lay_out(Path(home), LEARNER, str(handout))
        hand_in(opened.notebook.parent, LEARNER, workspace / "inbox")
    for step in ("collect", "mark", "feedback", "report"):
        assert main(["cohort", step, WORKSHEET, *where]) == 0


def test_a_cohorts_folder_is_closed_also_one_that_was_open_before(cohort, cohorts_place):
    assert open_to_others(cohorts_place) == set()
    for path in (cohort, cohort / "gradebook.db"):
        path.chmod(0o755)
    assert "spring/gradebook.db" in open_to_others(cohorts_place)
    assert main(["cohort", "collect", WORKSHEET, "--workspace", str(cohort)]) == 0
    assert open_to_others(cohorts_place) == set()
    (cohort / "gradebook.db").chmod(0o600)


@pytest.mark.parametrize(
    "part",
    [
        "gradebook.db",
        "results",
        "results.db",
        "sealed",
        "source",
        "release",
        "submitted",
        "autograded",
        "feedback",
    ],
)
def test_files_of_a_cohort_are_each_closed_as_well(cohort, part):
    """Should the folder be opened by hand, marks and answers are not."""
    for path in (cohort / part, *(cohort / part).rglob("*")):
        assert path.stat().st_mode & 0o077 == 0, path


def test_a_file_to_hand_in_is_its_owners_only(place):
    opened = folders.lay_out(place / "learners", LEARNER, WORKSHEET)
    before = os.umask(0o022)
    try:
        path = hand_in(opened.notebook.parent, LEARNER, place / "out")
    finally:
        os.umask(before)
    assert path.stat().st_mode & 0o777 == 0o600


def test_the_commands_mask_ends_with_it(place):
    before = os.umask(0o022)
    try:
        assert main(["refresh", "--due", "--learner", "ada", "--workspace", str(place)]) == 0
        assert os.umask(0o022) == 0o022
    finally:
        os.umask(before)


@contextlib.contextmanager
def serving(place):
    """`cubital open` of the shortest page; the process and its address."""
    browser = place / "browser"
    browser.write_text('#!/bin/sh\nprintf "%s" "$1" > "$0.started-with"\n', encoding="utf-8")
    browser.chmod(0o755)
    command = [sys.executable, "-m", "cubital", "open", "90-educator-guide"]
    process = subprocess.Popen(
        [*command, "--learner", LEARNER, "--workspace", str(place / "learners")],
        stdout=subprocess.PIPE,
        text=True,
        umask=0o022,
        env=os.environ | {"PYTHONUNBUFFERED": "1", "BROWSER": str(browser)},
    )
    try:
        lines = iter(process.stdout.readline, "")
        yield process, next(line.split()[-1] for line in lines if line.startswith("Ready at"))
    finally:
        process.terminate()
        process.wait()
        process.stdout.close()


@pytest.fixture(scope="module")
def running(servers_place):
    """One that is started in an empty folder."""
    with serving(servers_place) as started:
        yield started


def test_nobody_else_reads_a_learners_files_or_uses_the_server(running, servers_place):
    _, address = running
    (token,) = re.findall(r"token=([\w-]+)", address)
    notebook = servers_place / "learners" / LEARNER / "lessons" / "90-educator-guide.ipynb"
    assert notebook.is_file()
    opened = (servers_place / "browser.started-with").read_text(encoding="utf-8")
    assert open_to_others(servers_place) == {"browser"}
    lines = [*map(command_line, Path("/proc").glob("[0-9]*/cmdline")), opened]
    assert not any(token in line for line in lines)
    with pytest.raises(urllib.error.HTTPError, match="403"):
        asked(address, "contents", "")
    assert asked(address, "contents", token)["type"] == "directory"
    (ticket,) = re.findall(r"token=([\w-]+)", opened)
    assert asked(address, "contents", ticket)["type"] == "directory"
    with pytest.raises(urllib.error.HTTPError, match="403"):
        asked(address, "contents", ticket)


def test_a_second_command_opens_its_page_in_the_server_that_runs(running, servers_place, capsys):
    _, address = running
    where = ["--learner", LEARNER, "--workspace", str(servers_place / "learners")]
    assert main(["open", "whole-course", "--no-browser", *where]) == 0
    said = capsys.readouterr().out
    assert "running already in another window" in said
    page = re.sub("kernel=[^&]+&", "", address)
    path = "whole-course/whole-course.ipynb"
    assert page.replace("lessons/90-educator-guide.ipynb", path) in said
    (token,) = re.findall(r"token=([\w-]+)", address)
    assert asked(address, f"contents/{LEARNER}/{path}", token)["type"] == "notebook"
    assert main(["open", "whole-course", "--workbench", "--no-browser", *where]) == 1
    assert "as its page: end it there first" in capsys.readouterr().err


def test_a_request_to_end_ends_the_server_with_the_command(running):
    """The last test of the server that these share."""
    process, address = running
    process.send_signal(signal.SIGTERM)
    assert process.wait(timeout=60) == 0
    with pytest.raises(urllib.error.URLError, match="refused"):
        asked(address, "status", "")


@pytest.mark.long
def test_a_server_whose_command_was_killed_is_ended_by_the_next(place):
    with serving(place) as (killed, forgotten):
        (token,) = re.findall(r"token=([\w-]+)", forgotten)
        killed.kill()
        killed.wait()
        assert asked(forgotten, "status", token)["kernels"] == 1
        with serving(place) as (_, address):
            assert address != forgotten
            with pytest.raises(urllib.error.URLError, match="refused"):
                asked(forgotten, "status", token)


def asked(address, what, token):
    """What the server at an address answers to somebody with this token."""
    host = address.partition("/lab?")[0]
    with urllib.request.urlopen(f"{host}/api/{what}?token={token}") as answer:
        return json.load(answer)


def command_line(path):
    """A process's command line; nothing if it has ended meanwhile."""
    try:
        return path.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""
