"""A run of mutants tells what survives, what is gone, and what was never tested; loudly."""

import importlib
import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]

MODULE = '''
def larger(a, b):
    """Return the larger of two numbers."""
    if a > b:
        found = a
    else:
        found = b
    return found


class Room:
    def counted(self, rows):
        total = 0
        for row in rows:
            total += row
        return total
'''
TESTS = """
from cubital.room.sizes import Room, larger


def test_the_larger():
    assert larger(2, 1) == 2
    assert larger(1, 3) == 3


def test_none():
    assert Room().counted([]) == 0
"""


@pytest.fixture
def script(monkeypatch):
    """Import a script of the checkout by its name."""
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")
    return importlib.import_module


@pytest.fixture
def small(tmp_path):
    """A checkout with one module and its tests."""
    package = tmp_path / "small" / "grader" / "cubital"
    for name in ("", "room"):
        (package / name).mkdir(parents=True, exist_ok=True)
        (package / name / "__init__.py").write_text("", encoding="utf-8")
    (package / "room" / "sizes.py").write_text(MODULE, encoding="utf-8")
    (tmp_path / "small" / "tests").mkdir()
    option = "def pytest_addoption(parser):\n    parser.addoption('--long', action='store_true')\n"
    (tmp_path / "small" / "tests" / "conftest.py").write_text(option, encoding="utf-8")
    (tmp_path / "small" / "tests" / "test_sizes.py").write_text(TESTS, encoding="utf-8")
    return tmp_path / "small"


def row(script, function, line, becomes, **more):
    """A row of the table for the change of one line."""
    mutating, mutants = script("mutating"), script("mutants")
    found = mutating.mutants(MODULE, function)
    (mutant,) = (one for one in found if (one.line, one.becomes) == (line, becomes))
    return mutants.Row(f"room.sizes:{function}", mutant, ("tests/test_sizes.py",), **more)


def outcomes(script, small, *rows, **how):
    verdicts = script("mutants").run(rows, jobs=1, checkout=small, **how)
    return [(one.outcome, one.by) for one in verdicts]


def test_a_mutant_is_killed_by_a_test_that_fails_on_it_and_survives_where_none_does(script, small):
    turned = row(script, "larger", "if a > b:", "if not a > b:")
    edge = row(script, "larger", "if a > b:", "if a >= b:")
    empty = row(script, "Room.counted", "for row in rows:", "for row in []:")
    assert outcomes(script, small, turned, edge, empty) == [
        ("killed", "tests/test_sizes.py::test_the_larger"),
        ("SURVIVED", "tests/test_sizes.py"),
        ("SURVIVED", "tests/test_sizes.py"),
    ]
    assert (small / "grader/cubital/room/sizes.py").read_text(encoding="utf-8") == MODULE


def test_one_that_no_test_can_tell_needs_a_reason_and_is_no_excuse_for_one_that_is_killed(
    script, small
):
    reason = "Of two equal numbers either is the larger."
    edge = row(script, "larger", "if a > b:", "if a >= b:", equivalent=reason)
    turned = row(script, "larger", "if a > b:", "if not a > b:", equivalent=reason)
    assert outcomes(script, small, edge, turned) == [
        ("equivalent", reason),
        ("NOT EQUIVALENT", "tests/test_sizes.py::test_the_larger"),
    ]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("def larger", "def greater", "there is no such function"),
        ("if a > b:", "if a > b + 0:", "is now “if a > b + 0:”"),
        ("if a > b:", "if b < a:", "has no place 0 in it"),
    ],
)
def test_a_mutant_whose_function_was_changed_is_no_longer_there(script, small, old, new, words):
    turned = row(script, "larger", "if a > b:", "if a >= b:")
    path = small / "grader" / "cubital" / "room" / "sizes.py"
    path.write_text(MODULE.replace(old, new), encoding="utf-8")
    ((outcome, by),) = outcomes(script, small, turned)
    assert outcome == "NO LONGER THERE"
    assert words in by


def test_a_mutant_is_found_again_wherever_its_function_stands(script):
    mutating = script("mutating")
    (edge,) = (m for m in mutating.mutants(MODULE, "Room.counted") if m.becomes == "total = 1")
    moved = MODULE.replace("class Room:", "SIZE = 0\n\n\nclass Room:\n    size = 0\n")
    changed = mutating.mutated(moved, "Room.counted", edge)
    assert changed == moved.replace("        total = 0\n", "        total = 1\n")


@pytest.mark.long
def test_the_last_killer_is_asked_first_and_all_tests_where_it_is_gone_or_passes(script, small):
    for last in ("test_the_larger", "test_none", "test_of_old"):
        turned = row(
            script,
            "larger",
            "if a > b:",
            "if not a > b:",
            killed_by=f"tests/test_sizes.py::{last}",
        )
        found = outcomes(script, small, turned)
        assert found == [("killed", "tests/test_sizes.py::test_the_larger")]


def test_tests_that_fail_on_the_unchanged_package_kill_nothing(script, small):
    (small / "tests" / "test_sizes.py").write_text(TESTS.replace("== 3", "== 4"), "utf-8")
    turned = row(script, "larger", "if a > b:", "if not a > b:")
    with pytest.raises(script("mutants").TestsError, match="on the unchanged package"):
        outcomes(script, small, turned)


def test_the_table_reads_back_as_it_was_written_and_says_why_what_survives_may(script):
    mutants = script("mutants")
    text = mutants.TABLE.read_text(encoding="utf-8")
    seed, rows = mutants.read_table(mutants.TABLE)
    assert mutants.written_table(seed, rows) == text
    assert all(bool(one.killed_by) != bool(one.equivalent) for one in rows)
    rooms = {one.function for one in rows}
    assert len(rooms) == 20
    assert all(sum(name.startswith(f"{room}.") for name in rooms) >= 3 for room in mutants.ROOMS)


def test_the_sample_of_every_change_is_killed(script):
    rows = script("mutants").read_table(script("mutants").TABLE)[1]
    assert sum(one.sample for one in rows) == 3
    done = subprocess.run(
        [sys.executable, str(CHECKOUT / ".ci" / "mutants.py"), "--sample", "--jobs", "1"],
        capture_output=True,
        text=True,
        timeout=500,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "3 killed, 0 equivalent, 0 SURVIVED" in done.stdout
