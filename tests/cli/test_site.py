"""The commands that the README gives for a site are true, from the build to the trial on this
computer."""

import re
import shlex
import signal
import subprocess
import sys
import tomllib
import urllib.request
from pathlib import Path

import pytest

from cubital.cli import main, parser
from cubital.site import serving

CHECKOUT = Path(__file__).resolve().parents[2]
README = (CHECKOUT / "README.md").read_text(encoding="utf-8")
SECTION = README.partition("the course as a site\n")[2].partition("\n## ")[0]
COMMANDS = re.search(r"```\n(.+?)```", SECTION, re.DOTALL)[1].splitlines()


def test_the_commands_of_the_readme_are_ones_that_there_are():
    install, build = COMMANDS
    assert shlex.split(install)[:2] == ["pip", "install"]
    (extra,) = re.findall(r"^cubital\[(\w+)\]$", shlex.split(install)[2])
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert extra in project["optional-dependencies"]
    given = parser().parse_args(shlex.split(build)[1:])
    assert (given.to, given.serve) == (Path("course-site"), True)
    assert "--pyodide PATH" in SECTION


def test_a_folder_that_holds_something_else_is_left_alone(tmp_path, capsys):
    mine = tmp_path / "mine.txt"
    mine.write_text("mine")
    assert main(["site", "--to", str(tmp_path)]) == 1
    assert "holds something else than a site" in capsys.readouterr().err
    assert mine.read_text() == "mine"


@pytest.mark.long
def test_a_site_is_built_served_and_built_anew(tmp_path):
    command = [sys.executable, "-m", "cubital", *shlex.split(COMMANDS[1])[1:], "--no-browser"]
    for _again in range(2):
        with subprocess.Popen(command, cwd=tmp_path, stdout=subprocess.PIPE, text=True) as running:
            try:
                said = []
                for line in running.stdout:
                    said.append(line)
                    if line.startswith("Press") or "Ctrl + C" in line:
                        break
                (address,) = re.findall(r"Ready at (\S+)", "".join(said))
                with urllib.request.urlopen(f"{address}for-it.html") as reply:
                    assert reply.headers["Content-Security-Policy"] == serving.POLICY
                    assert "IT department" in reply.read().decode()
                running.send_signal(signal.SIGINT)
                assert "Stopped." in running.stdout.read()
                assert running.wait() == 0
            finally:
                running.kill()
    assert (tmp_path / "course-site" / "sums.txt").is_file()
