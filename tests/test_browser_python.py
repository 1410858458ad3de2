"""The course comes to the same where numba, processes and threads are not to be had."""

import json
import math
import subprocess
import sys
from pathlib import Path

import pytest

from cubital import items
from cubital.explore.kit.catalogue import every_explorer

CHECKOUT = Path(__file__).parents[1]
PROGRAM = Path(__file__).with_name("browser_python.py")
PICTURED = ("30", "60", "80")  # the lessons that show simulated pictures; they are run last
# The first page is a form of the learner's page: tests/browser/in_browser open it.
LESSONS = sorted(
    (str(path) for path in (CHECKOUT / "modules").glob("[1-9]*.ipynb")),
    key=lambda path: (Path(path).stem[:2] in PICTURED, path),
)
FIGURES = sorted(explorer.__name__ for explorer in every_explorer())
QUESTIONS = sorted({item.id for listed in items.WORKSHEETS.values() for item in listed})
SAMPLE = {
    "lessons": LESSONS,
    "figures": ["ArmByCause", "HaematomaGrowing", "PhotonsOneByOne", "ProcessedTwice"],
    "questions": ["read-forks", "sizing-ratio"],
}
ALL = {"figures": FIGURES, "questions": QUESTIONS}
CLOSE = 1e-12


def found(folder, wanted):
    """Return what the program finds, in a process of its own."""
    folder.mkdir()
    command = [sys.executable, "-W", "error", str(PROGRAM), str(folder), json.dumps(wanted)]
    done = subprocess.run(command, check=False, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return json.loads((folder / "found.json").read_text(encoding="utf-8"))


@pytest.fixture(
    scope="module",
    params=[
        pytest.param(SAMPLE, id="some"),
        pytest.param(ALL, id="all", marks=pytest.mark.long),
    ],
)
def both(request, tmp_path_factory):
    """What this Python finds, and what one does that lacks as much as a browser's."""
    folder = tmp_path_factory.mktemp("python")
    return [
        found(folder / name, request.param | {"bare": bare})
        for name, bare in (("usual", False), ("bare", True))
    ]


def differences(one, other, place=""):
    """Return where two trees differ, numbers by more than rounding."""
    if isinstance(one, dict) and isinstance(other, dict) and one.keys() == other.keys():
        pairs = [(key, one[key], other[key]) for key in one]
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        pairs = [(number, *pair) for number, pair in enumerate(zip(one, other, strict=True))]
    else:
        both_numbers = all(type(v) in (int, float) for v in (one, other))
        if both_numbers and math.isclose(one, other, rel_tol=CLOSE, abs_tol=CLOSE):
            return []
        is_nothing = both_numbers and math.isnan(one) and math.isnan(other)
        return [] if one == other or is_nothing else [f"{place}: {one!r:.80} and {other!r:.80}"]
    return [gap for key, a, b in pairs for gap in differences(a, b, f"{place}/{key}")]


def test_every_cell_of_every_lesson_runs(both):
    for one in both:
        assert {k: v["failing"] for k, v in one["lessons"].items() if v["failing"]} == {}


def test_scipy_is_loaded_by_lessons_with_pictures_alone(both):
    for one in both:
        loading = [Path(lesson).stem[:2] for lesson, ran in one["lessons"].items() if ran["scipy"]]
        assert loading == [number for number in PICTURED if one["lessons"]]


def test_figures_show_the_same_in_every_state(both):
    usual, bare = ({k: v["states"] for k, v in one["figures"].items()} for one in both)
    assert all(len(states) > 1 for states in usual.values())
    assert differences(usual, bare) == []


def test_photons_tell_the_same_within_their_errors(both):
    usual, bare = (one["figures"]["PhotonsOneByOne"]["run"] for one in both)
    columns = zip(
        *(run[part] for run in (usual, bare) for part in ("contrasts", "errors")), strict=True
    )
    for value, error, other, other_error in columns:
        assert abs(value - other) < 4 * math.hypot(error, other_error)


def test_questions_ask_and_judge_the_same_on_the_same_pictures(both):
    usual, bare = (one["questions"] for one in both)
    assert any(question["pictures"] for question in usual.values())
    assert all(question["judged"] for question in usual.values())
    assert usual == bare


def test_what_a_browser_lacks_was_not_there(both):
    usual, bare = (one["loaded"] for one in both)
    assert bare == []
    assert "numba" in usual
