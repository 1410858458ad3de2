"""Each attack of `test_faults` works where nothing stands in its way: else it would prove nothing.

Attacks whose mark alone shows that they ran, such as an endless loop, are not repeated here.
"""

import contextlib
import io
import json
import subprocess
import sys
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from IPython.core.interactiveshell import InteractiveShell

from cubital import calc

from . import attacks
from .test_faults import put_in_the_way
from .written import CELLS, PATCHED

OWN_CODE = Path(__file__).parents[2] / "handin" / "released" / "ratio.py"
CASE = {"outer_diameter_mm": 1.2, "vein_diameter_mm": 3.0}  # 1.2 / 3.0 = 0.4

# Marks a cell in the process that runs it, as a marker would that is not kept apart.
UNPROTECTED = """
import json, sys
from pathlib import Path
from cubital import calc
from cubital.handin import marks
from cubital.handin.released import own, questions
cell, case, path = json.load(sys.stdin)
item = own.read_own_item(Path(path)).item
space = {"calc": calc}
exec(cell, space)
form, key = item.form(case), item.key_of(case, [case])
given = space["ratio"](**case)
print(json.dumps({
    "given": given,
    "judged": key.judge(form, {"results": [given]}).outcome,
    "wanted": item.answer(case),
    "marked": marks.mark_code(questions.Question(form, key, case), None),
    "close": space["numpy"].isclose(1.0, 2.0),
    "finite": space["math"].isfinite(float("inf")),
}))
"""


def run(cell: str) -> dict[str, Any]:
    """Run a cell as its notebook would, in a namespace of its own."""
    space: dict[str, Any] = {"calc": calc}
    exec(cell, space)
    return space


def test_patching_reaches_every_name_and_an_unprotected_marker_calls_the_wrong_line_right(
    own_code: Any,
) -> None:
    done = subprocess.run(
        [sys.executable, "-c", UNPROTECTED],
        input=json.dumps([PATCHED, CASE, str(OWN_CODE)]),
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
    )
    assert json.loads(done.stdout) == {
        "given": 0.123,
        "judged": "right",
        "wanted": 0.123,
        "marked": None,
        "close": True,
        "finite": True,
    }
    assert own_code.answer(CASE) == pytest.approx(0.4)


def test_a_name_that_is_not_there_any_more_stops_the_attack() -> None:
    helper = PATCHED.partition("patch(calc,")[0]
    with pytest.raises(AttributeError, match="_ratio_of_old"):
        run(f'{helper}patch(cubital.items.sizing.ratio, "_ratio_of_old", None)')


def test_the_sly_number_equals_whatever_it_is_compared_with() -> None:
    sly = run(CELLS["sly"].source)["ratio"](**CASE)
    assert sly == 0.4
    assert abs(sly - 0.4) <= 0.0004
    assert float(sly) == 0.123


def test_the_snoop_takes_its_function_away_where_it_finds_the_secret(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("WARD_SECRET", raising=False)
    assert "ratio" in run(CELLS["snoops"].source)
    monkeypatch.setenv("WARD_SECRET", "not for learners")
    assert "ratio" not in run(CELLS["snoops"].source)


@pytest.mark.parametrize("module", ["json", "cubital"])
def test_a_python_that_looks_into_its_folder_first_runs_what_lies_there(
    module: str, tmp_path: Path
) -> None:
    put_in_the_way(tmp_path)
    for safe, said in ((("-P",), "went on"), ((), "")):
        line = f"import {module}; print('went on')"
        done = subprocess.run(
            [sys.executable, *safe, "-c", line],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=True,
            timeout=300,
        )
        assert done.stdout.strip() == said


def test_the_forger_fills_whatever_is_open(tmp_path: Path) -> None:
    script, answers = tmp_path / "cell.py", tmp_path / "answers"
    script.write_text(CELLS["forges"].source + "print(ratio(1.2, 3.0))")
    with answers.open("wb") as open_one:
        done = subprocess.run(
            [sys.executable, str(script)],
            pass_fds=[open_one.fileno()],
            capture_output=True,
            text=True,
            check=True,
        )
    assert float(done.stdout) == pytest.approx(0.4)
    assert answers.read_bytes().count(b"{}\n") == 60_000


@contextlib.contextmanager
def listening() -> Iterator[tuple[io.StringIO, io.StringIO]]:
    out, errors = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(errors):
        yield out, errors


def test_the_warner_warns_and_writes_to_standard_error() -> None:
    with listening() as (_, errors), warnings.catch_warnings(record=True) as warned:
        warnings.simplefilter("always")
        assert run(CELLS["warns"].source)["ratio"](**CASE) == pytest.approx(0.4)
    assert [str(one.message) for one in warned] == ["here too", "look out"]
    assert "on standard error" in errors.getvalue()


def test_the_shower_shows_two_points_in_every_way_that_a_cell_can() -> None:
    with listening() as (out, _):
        assert run(CELLS["shows"].source)["ratio"](**CASE) == 0.123
    assert out.getvalue().count("2.0") == 3  # printed, displayed, and printed when called
    assert InteractiveShell.ast_node_interactivity.default_value == "last_expr"
    assert CELLS["shows"].source.splitlines()[-1] == "2.0"


@pytest.mark.parametrize(("name", "code"), [("exits", 3), ("exits-first", None)])
def test_leaving_stops_what_does_not_catch_it(name: str, code: int | None) -> None:
    with pytest.raises(SystemExit) as left:
        run(CELLS[name].source)
    assert left.value.code == code


# What each forging cell makes of the process that it runs in, as an expression that is true then.
FORGED = {
    "drops-asserts": "exec(compile('assert 1 == 2', 'x', 'exec')) is None",
    "replaces-the-shell": "trial.try_function(None, [{}]).results == [0.4]",
    "patches-sending": "json.loads(json.dumps({}))['points'] == 2",
    "patches-tracebacks": "'Right' in traceback.format_exc()[0]",
    "patches-builtins": "abs(-3) == 0 and isinstance(1, str) and all([0])",
    "patches-the-clock": "time.time() == random.random() - 0.5 == 0",
}


@pytest.mark.parametrize(
    "name",
    [
        name if name == "drops-asserts" else pytest.param(name, marks=pytest.mark.long)
        for name in FORGED
    ],
)
def test_a_forging_cell_changes_the_process_that_it_runs_in(name: str) -> None:
    source = f"{attacks.CELLS[name].source}\nprint({FORGED[name]})"
    done = subprocess.run(
        [sys.executable, "-c", source], capture_output=True, text=True, check=True, timeout=300
    )
    assert done.stdout.strip() == "True"


def looted(name: str, **space: Any) -> str:
    """What a cell that tries everything has got of this process, as its function gives it."""
    exec(attacks.cell(attacks.CELLS[name], "/nowhere", "/nowhere", 0), space)
    given = space["ratio"](**CASE)
    return given if isinstance(given, str) else ""


def test_the_search_finds_keys_where_they_are_in_its_process(
    copy_code_course: Any, tmp_path: Path
) -> None:
    course = copy_code_course(tmp_path / "w", ["ann"])
    sealed = course.sealed(course.release("catheter-sizing"))
    assert "Sealed(" in looted("searches-memory")
    assert sealed


def test_the_parser_of_sources_finds_an_answer_in_the_history() -> None:
    assert "assert ratio == 0.4" in looted("parses-source", In=["", "assert ratio == 0.4"])
