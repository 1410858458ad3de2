"""However the command is ended, server and kernels end with it; a second one joins the first."""

import contextlib
import signal
import subprocess
import sys

import psutil
import pytest

PATIENT_S = 120


def cubital(workspace, *words):
    """Start a command for this workspace; its process, whose output is text."""
    return subprocess.Popen(
        [sys.executable, "-m", "cubital", *words, "--workspace", str(workspace), "--no-browser"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


@contextlib.contextmanager
def ended(process):
    """Leave no command running, whatever the test finds."""
    try:
        yield
    finally:
        if process.poll() is None:
            process.terminate()
            try:
                process.wait(PATIENT_S)
            except subprocess.TimeoutExpired:
                process.kill()


def address(process):
    """Read what a command says until it says where the page is; return that."""
    said = []
    for line in process.stdout:
        said.append(line)
        if "http://127.0.0.1:" in line:
            return line.split()[-1]
    raise AssertionError("".join(said))


ENDS = {
    "a request to end": signal.SIGTERM,
    "Ctrl-C": signal.SIGINT,
    "a closed terminal": signal.SIGHUP,
}


@pytest.mark.parametrize(
    "number",
    [
        pytest.param(number, id=name, marks=() if name == "a request to end" else pytest.mark.long)
        for name, number in ENDS.items()
    ],
)
def test_server_and_kernels_end_with_the_command_and_a_second_command_joins_it(tmp_path, number):
    with cubital(tmp_path, "study", "--learner", "ada") as first, ended(first):
        opened = address(first)
        pages = {path: path.stat().st_mtime_ns for path in tmp_path.glob("ada/*/*.ipynb")}
        with cubital(tmp_path, "study", "--learner", "ben") as second, ended(second):
            joined = address(second)
            assert second.wait(PATIENT_S) == 0
        assert joined.partition("/lab?")[0] == opened.partition("/lab?")[0]
        assert "course=ben/lessons/00-start-here.ipynb" in joined
        assert (tmp_path / "ben" / "lessons" / "00-start-here.ipynb").is_file()
        assert {path: path.stat().st_mtime_ns for path in pages} == pages
        below = psutil.Process(first.pid).children(recursive=True)
        assert any("ipykernel_launcher" in " ".join(one.cmdline()) for one in below)
        first.send_signal(number)
        assert first.wait(PATIENT_S) == 0
        assert psutil.wait_procs(below, timeout=PATIENT_S)[1] == []
