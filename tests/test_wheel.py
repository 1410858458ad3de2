"""The wheel is complete by itself: its contents, and the demo from it in an empty folder."""

import os
import subprocess
import sys
import tomllib
import venv
import zipfile
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=CHECKOUT,
        check=True,
        capture_output=True,
    )
    (path,) = folder.glob("*.whl")
    return path


def tracked(*folders):
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", *folders],
        cwd=CHECKOUT,
        check=True,
        capture_output=True,
        text=True,
    )
    return {line for line in listed.stdout.splitlines() if (CHECKOUT / line).is_file()}


def test_the_wheel_holds_the_course_and_nothing_else(wheel):
    expected = {path.removeprefix("grader/") for path in tracked("grader")}
    expected |= {
        f"cubital/course/{path}"
        for path in tracked("modules", "exercises", "assets")
        if not path.startswith("assets/docs/")
    }
    held = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    assert held == expected
    for part in ("modules/40-catheter-sizing.ipynb", "assets/sizing/gauges.csv"):
        assert f"cubital/course/{part}" in held
    assert "cubital/course/exercises/source/catheter-sizing/catheter-sizing.ipynb" in held
    assert not [name for name in held if name.endswith(("answers.json", "release.json", ".db"))]


def test_the_demo_runs_from_the_wheel_in_an_empty_folder(wheel, tmp_path):
    """Only the wheel is added to the libraries that this environment already has."""
    environment = tmp_path / "environment"
    venv.create(environment, with_pip=False)
    (site,) = environment.glob("lib/python3.*/site-packages")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(site)
    libraries = next(p for p in sys.path if p.endswith("site-packages"))
    (site / "libraries.pth").write_text(f"{libraries}\n")
    empty = tmp_path / "empty"
    empty.mkdir()
    python = environment / "bin" / "python"
    where = subprocess.run(
        [python, "-c", "import cubital; print(cubital.__file__)"],
        check=True, capture_output=True, text=True, cwd=empty, env=_clean(),
    )  # fmt: skip
    assert where.stdout.startswith(str(site))
    done = subprocess.run(
        [python, "-m", "cubital", "demo", "--workspace", "play", "--learners", "4"],
        capture_output=True, text=True, cwd=empty, env=_clean(), check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert (empty / "play" / "report" / "catheter-sizing" / "index.html").is_file()


def _clean():
    """The environment with the libraries' own commands and data, and no word of Python's."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    commands = str(Path(sys.executable).parent)
    return kept | {
        "PATH": os.pathsep.join((commands, kept["PATH"])),
        "JUPYTER_PATH": str(Path(sys.prefix) / "share" / "jupyter"),
    }


def test_the_lock_names_a_version_of_every_library(wheel):
    """Each library that the project asks for is pinned in the one lock file."""
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text())["project"]
    asked = project["dependencies"] + project["optional-dependencies"]["test"]
    pinned = {
        line.split("==")[0]
        for line in (CHECKOUT / "requirements.lock").read_text().splitlines()
        if "==" in line
    }
    names = {
        part.split(">")[0].split("<")[0].split("=")[0].strip()
        for part in asked
        if not part.startswith("cubital[")
    }
    assert names <= pinned
