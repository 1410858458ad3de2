"""Python is typed into a box: read and tried at once, kept with the answers, nothing of it lost."""

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from cubital import tables
from cubital.handin.answers import read_answers
from cubital.handin.released import own
from cubital.handin.released.release import AT_ONCE, new_release, write_release
from cubital.handin.released.stubs import CODE_STUB
from cubital.worksheet import trying
from cubital.worksheet.fields import field
from cubital.worksheet.sitting import sitting

RELEASE = new_release("autumn", "catheter-sizing")
OWN_CODE = Path(__file__).parents[1] / "handin" / "released" / "ratio.py"
LINE = "sizing-ratio-code"
RIGHT = "outer_diameter_mm / vein_diameter_mm"
HEAD = "def ratio(outer_diameter_mm, vein_diameter_mm):\n    "


@pytest.fixture
def here(tmp_path, given_out):
    folder = tmp_path / "ada.alder" / "catheter-sizing"
    given_out(folder, RELEASE)
    return sitting(folder)


@pytest.fixture
def practice(tmp_path):
    folder = tmp_path / "ada.alder" / "catheter-sizing"
    write_release(folder, replace(RELEASE, feedback=AT_ONCE))
    return sitting(folder)


def inputs(here, item_id=LINE):
    return dict(here.store.form(item_id).inputs)


def ratio(here, item_id=LINE):
    drawn = inputs(here, item_id)
    return drawn["outer_diameter_mm"] / drawn["vein_diameter_mm"]


def last(here, item_id=LINE):
    return read_answers(here.folder).last(item_id).answer


def write_page(here, source):
    """Save the worksheet's page with that in the cell of the line."""
    name = "catheter-sizing"
    path = tables.course_folder("exercises") / "source" / name / f"{name}.ipynb"
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        if cell["metadata"].get("nbgrader", {}).get("grade_id") == "ratio-line":
            cell["source"] = source
    (here.folder / path.name).write_text(json.dumps(notebook), encoding="utf-8")


# ------------------------------------------------------------------------------- one line


def test_the_box_names_what_may_be_used_with_this_learners_values(here):
    parts = field(here, LINE).parts
    drawn = inputs(here)
    assert parts["before"] == "return"
    assert parts["names"] == [
        {
            "name": "outer_diameter_mm",
            "meaning": "outer diameter",
            "value": f"{drawn['outer_diameter_mm']:g} mm",
        },
        {
            "name": "vein_diameter_mm",
            "meaning": "vein diameter",
            "value": f"{drawn['vein_diameter_mm']:g} mm",
        },
    ]


def test_a_line_is_saved_and_tried_at_once(here):
    box = field(here, LINE)
    box.enter(RIGHT, final=False)
    assert box.state == "saved"
    assert box.status.endswith(f", not marked yet. On your values it gives {ratio(here):.6g}.")
    assert last(here) == {"typed": RIGHT, "expression": RIGHT}
    box.enter("1 / (vein_diameter_mm - vein_diameter_mm)")
    assert box.status.endswith("On your values it gives no number. The line divides by zero.")


def test_what_was_typed_is_kept_beside_what_was_read(here):
    box = field(here, LINE)
    box.enter(" return outer_diameter_mm\n  / vein_diameter_mm ")
    typed = "return outer_diameter_mm\n  / vein_diameter_mm"
    assert last(here) == {"typed": typed, "expression": RIGHT}
    assert f" as {RIGHT}, not marked yet." in box.status
    assert field(here, LINE).entered == typed


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("(outer_diameter_mm / vein_diameter_mm", "The parenthesis that opens before “outer_diam"),
        ("outer_diameter_mm / vein_diametr_mm", "Did you mean vein_diameter_mm? The names that"),
        ("0,5 * outer_diameter_mm", "“0,5” has a comma. Type a decimal point: 0.5."),
        ("outer_diameter_mm ^ 2", "“^” in “outer_diameter_mm ^ 2” does not mean power here. Type"),
        ("outer_diameter_mm x 2", "“x” between “outer_diameter_mm” and “2” does not mean times"),
        ("outer_diameter_mm vein_diameter_mm", "a sign is missing."),
        ("outer_diameter_mm / 3 mm", "“mm” after 3 is a unit or a name. Leave units out"),
        ("", "The line is empty. Write what gives the number."),
    ],
)
def test_a_fault_is_told_with_its_place_and_the_earlier_line_stays(here, typed, words):
    box = field(here, LINE)
    box.enter(RIGHT)
    box.enter(typed)
    assert box.state == "refused"
    assert box.status.startswith("Not saved.")
    assert words in box.status
    assert f"Your earlier answer stays: {RIGHT}, which gives" in box.status
    assert "Python" not in box.status
    assert last(here)["expression"] == RIGHT


def test_a_half_typed_line_is_not_scolded(here):
    box = field(here, LINE)
    box.enter("outer_diameter_mm /", final=False)
    assert (box.state, box.status) == ("typing", "Not saved yet.")


def test_nothing_of_a_line_is_run(here, monkeypatch):
    monkeypatch.chdir(here.folder)
    box = field(here, LINE)
    box.enter("open('x', 'w')")
    assert "is not taken here." in box.status
    assert not (here.folder / "x").exists()


def test_in_practice_the_line_is_marked_at_once(practice):
    box = field(practice, LINE)
    box.enter("vein_diameter_mm / outer_diameter_mm")
    assert f"On your values it gives {1 / ratio(practice):.6g}. Not right yet." in box.status
    assert "the vein is divided by the catheter" in box.status
    box.enter(RIGHT)
    assert "Right, on your values and on others." in box.status


# ------------------------------------------------------- what was written into the page before


def test_a_line_that_stands_in_the_page_is_shown_and_counts_until_another_is_typed(here):
    write_page(here, f"{HEAD}return {RIGHT}")
    box = field(here, LINE)
    assert (box.state, box.entered) == ("saved", RIGHT)
    assert box.status == (
        "This line was written into the page; it counts until you type another. On your values it "
        f"gives {ratio(here):.6g}."
    )
    box.enter("vein_diameter_mm")
    assert field(here, LINE).entered == "vein_diameter_mm"


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        (HEAD + CODE_STUB, "Not answered yet."),
        ("", "Not answered yet."),
        (
            f"{HEAD}return outer_diameter_mm /",
            "does not count. “return outer_diameter_mm /”",
        ),
        (f"{HEAD}pass", "does not count. The line is not written yet."),
    ],
)
def test_no_line_in_the_page_is_no_answer(here, cell, words):
    write_page(here, cell)
    box = field(here, LINE)
    assert (box.state, box.entered) == ("empty", None)
    assert words in box.status


def test_in_practice_a_line_in_the_page_is_marked_too(practice):
    write_page(practice, f"{HEAD}return vein_diameter_mm / outer_diameter_mm")
    assert "the vein is divided by the catheter" in field(practice, LINE).status


# -------------------------------------------------------------------- a department's function

BODY = "share = outer_diameter_mm / vein_diameter_mm\nreturn share"


@pytest.fixture
def with_code(tmp_path, own_code, given_out):
    folder = tmp_path / "ada.alder" / "catheter-sizing"
    given_out(folder, with_own(RELEASE, own_code))
    return sitting(folder)


def with_own(release, own_code):
    source = OWN_CODE.read_text(encoding="utf-8")
    row = own.OwnFile("own-ratio.py", own.check_sum(source), "size-ratio")
    found = new_release("autumn", "catheter-sizing", listed=[own_code])
    return replace(found, own={own_code.id: row}, sources={row.file: source})


def test_a_function_is_typed_below_its_first_line_and_tried_on_leaving_the_box(with_code):
    box = field(with_code, "own-ratio")
    assert box.parts["before"] == "def ratio(outer_diameter_mm, vein_diameter_mm):"
    box.enter(BODY, final=False)
    assert box.status.endswith("not marked yet. The function is tried once you leave the box.")
    box.enter(f"    {BODY.replace(chr(10), chr(10) + '    ')}\n")
    drawn = ratio(with_code, "own-ratio")
    assert box.status.endswith(f"not marked yet. On your values it gives {drawn}.")
    assert last(with_code, "own-ratio") == {"code": BODY}
    again = field(with_code, "own-ratio")
    assert again.entered == BODY
    assert again.status.endswith(f"it gives {drawn}.")


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("return 1 / 0", "The function stopped with ZeroDivisionError: division by zero"),
        ("while True:\n    pass", f"ran through {trying.MOST_LINES} lines and did not end."),
        ("while True:\n    try:\n        pass\n    except Exception:\n        pass", "not end."),
        ("raise SystemExit(3)", "The code stopped with SystemExit: 3"),
        ("print('x' * 9)\nreturn 2", "On your values it gives 2."),
    ],
)
def test_whatever_a_function_does_is_told(with_code, capsys, body, words):
    box = field(with_code, "own-ratio")
    box.enter(body)
    assert box.state == "saved"
    assert words in box.status
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("", "Nothing is written yet."),
        ("share = 1\nreturn share /", "Line 2, “return share /”, is not valid Python:"),
        (f"def ratio(a, b):\n    {BODY}", "stands above the box. Leave it out here"),
        ("x" * 5000, "has 5000 characters; at most 4000"),
    ],
)
def test_what_is_no_function_is_refused_and_the_earlier_one_stays(with_code, body, words):
    box = field(with_code, "own-ratio")
    box.enter(BODY)
    box.enter(body)
    assert box.state == "refused"
    assert words in box.status
    assert "Your earlier answer stays: “share = outer_diameter_mm" in box.status
    assert last(with_code, "own-ratio") == {"code": BODY}


def test_a_function_is_run_once_for_each_text(with_code, tmp_path):
    seen = tmp_path / "seen"
    body = f"with open({str(seen)!r}, 'a') as file:\n    file.write('.')\nreturn 2"
    box = field(with_code, "own-ratio")
    box.enter(body)
    box.look()
    box.enter(body)
    assert seen.read_text(encoding="utf-8") == "."


def test_a_function_in_the_page_counts_until_the_box_is_used(with_code, copy_code_course, tmp_path):
    course = copy_code_course(tmp_path / "w", ["ann"])
    name = "catheter-sizing.ipynb"
    page = with_code.folder / name
    text = (course.released("catheter-sizing") / name).read_text(encoding="utf-8")
    stub = json.dumps(CODE_STUB)[1:-1]
    assert stub in text
    page.write_text(text, encoding="utf-8")
    assert field(with_code, "own-ratio").status == "Not answered yet."
    page.write_text(text.replace(stub, "return 2"), encoding="utf-8")
    assert "written into this page counts, until you" in field(with_code, "own-ratio").status


def test_in_practice_a_function_is_marked_on_inputs_that_nobody_saw(tmp_path, own_code):
    folder = tmp_path / "ada.alder" / "catheter-sizing"
    write_release(folder, replace(with_own(RELEASE, own_code), feedback=AT_ONCE))
    shutil.copy(OWN_CODE, folder / "own-ratio.py")
    here = sitting(folder)
    box = field(here, "own-ratio")
    box.enter(BODY)
    assert "Right, on your values and on others." in box.status
    box.enter(f"return {ratio(here, 'own-ratio')!r}")
    assert "Right on your own values only" in box.status
