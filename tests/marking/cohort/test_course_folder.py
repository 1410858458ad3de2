"""What an educator changes in the course folder is asked, marked and reported, on both routes."""

import csv
import hashlib
import io
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from cubital import cli, tables
from cubital.handin.released import own
from cubital.handin.released.release import read_release
from cubital.handin.released.sealed import folder_of
from cubital.handin.results import MARKED
from cubital.marking.cohort import collecting, releasing
from cubital.marking.cohort.course import Course, CourseError
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook, marker

from ...recording import Recorder, Told

WORKSHEET = "catheter-sizing"
OFF = ("sizing-area-share", "sizing-bore-flow", "sizing-gravity-flow")
BANK = """
[items.sizing-french]
points = 3

[items.sizing-area-share]
off = true

[items.sizing-bore-flow]
off = true

[items.sizing-gravity-flow]
off = true

[pass_share]
size-ratio = 0.6
"""
# 30 automatic points of the course, one more for French, three times two fewer, two for one's own.
AUTOMATIC = 30 + 1 - 6 + 2
ASKED = 16 - 3 + 1


def notebook(folder: Path) -> dict[str, Any]:
    return json.loads((folder / f"{WORKSHEET}.ipynb").read_text(encoding="utf-8"))


def sources(folder: Path) -> list[str]:
    return ["".join(cell["source"]) for cell in notebook(folder)["cells"]]


def grade_cells(folder: Path) -> dict[str, float]:
    marks = [cell["metadata"].get("nbgrader", {}) for cell in notebook(folder)["cells"]]
    return {row["grade_id"]: row["points"] for row in marks if row.get("grade")}


def change(course: Course, bank: str = BANK, *, own_item: bool = True) -> Course:
    (course.workspace / "bank.toml").write_text(bank, encoding="utf-8")
    if own_item:
        own.write_template(course.workspace, "room_left")
    return course


def edit_own(course: Course, old: str, new: str) -> None:
    path = course.workspace / "items" / "room_left.py"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


class Play(NamedTuple):
    """A course marked by itself, the same marked by nbgrader's own command, and the results."""

    ours: Course
    theirs: Course
    results: dict[str, Any]
    trap: Path


TRAP = """
from pathlib import Path
Path({path!r}).write_text("run")
"""


@pytest.fixture(scope="module")
def play(
    copy_course: Any, desk: Any, nbgrader: Any, tmp_path_factory: pytest.TempPathFactory
) -> Play:
    where = tmp_path_factory.mktemp("folder")
    trap = where / "trap.txt"
    ours = change(copy_course(where / "ours", ["solved", "slipped", "untouched", "sly"]))
    releasing.release(ours, WORKSHEET, "spring")
    home = where / "homes"
    desk(ours, "solved", home).answer().hand_in()
    desk(ours, "untouched", home).hand_in()
    at = desk(ours, "slipped", home)
    french = at.values("sizing-french")["outer_diameter_mm"] / 3
    room = at.values("own-room-left")
    outer = {row.gauge: row.outer_upper_mm for row in tables.gauges()}[room["gauge"]]
    both = room["vein_diameter_mm"] - outer
    at.answer({"sizing-french": f"{french:.3f} Fr", "own-room-left": f"{both:.3f} mm"}).hand_in()
    desk(ours, "sly", home).answer().hand_in()
    assert collecting.collect(ours, WORKSHEET) == []
    replace_own_file(ours.submitted("sly", WORKSHEET), trap)
    theirs = Course(shutil.copytree(ours.workspace, where / "theirs"))
    nbgrader(theirs.workspace, "autograde", WORKSHEET)
    results = {row.learner: row for row in marker.mark(ours, WORKSHEET)}
    return Play(ours, theirs, results, trap)


def replace_own_file(folder: Path, trap: Path) -> None:
    """Put a file of one's own into a submission, with a release that vouches for it."""
    source = TRAP.format(path=str(trap))
    (folder / "own-room_left.py").write_text(source, encoding="utf-8")
    path = folder / "release.json"
    told = json.loads(path.read_text(encoding="utf-8"))
    told["own"]["own-room-left"]["sha256"] = hashlib.sha256(source.encode()).hexdigest()
    path.write_text(json.dumps(told), encoding="utf-8")


def test_what_is_off_is_not_in_the_released_worksheet(play: Play) -> None:
    text = "\n".join(sources(play.ours.released(WORKSHEET)))
    for item, heading in zip(
        OFF,
        ("How much of the vein is filled", "A wider bore", "Flow from a hanging bag"),
        strict=True,
    ):
        assert f'"{item}"' not in text
        assert heading not in text
    assert "Thirteen questions, about 30 minutes" in text  # 35, of which they are 23 of 27
    assert "Two of these thirteen questions are on safety and must all be right" in text
    headings = [line for line in text.splitlines() if line.startswith("## ") and ". " in line]
    assert [line.split(". ")[0] for line in headings] == [f"## {n}" for n in range(1, 15)]


def test_points_are_in_the_metadata_the_heading_and_the_release(play: Play) -> None:
    folder = play.ours.released(WORKSHEET)
    cells = grade_cells(folder)
    assert cells["sizing-french"] == 3
    assert "## 2. French size\n\n3 points." in sources(folder)
    assert "## 14. Room beside a catheter\n\n2 points." in sources(folder)
    released = read_release(folder)
    assert {key: row.points for key, row in released.items.items()} == cells
    assert len(cells) == ASKED
    assert released.item("sizing-french").points == 3
    assert released.off == OFF


def test_both_routes_give_the_released_points(play: Play, in_gradebook: Callable) -> None:
    for learner in play.ours.roster():
        points = in_gradebook(play.ours, learner)
        assert points == in_gradebook(play.theirs, learner), learner
        assert play.results[learner].state == MARKED
        assert not set(points) & set(OFF)
    solved = in_gradebook(play.ours, "solved")
    assert solved["sizing-french"] == 3
    assert sum(value or 0 for value in solved.values()) == AUTOMATIC
    assert sum(value or 0 for value in in_gradebook(play.ours, "untouched").values()) == 0
    slipped = in_gradebook(play.ours, "slipped")
    assert sum(value or 0 for value in slipped.values()) == AUTOMATIC - 3 - 2


def test_a_slip_of_an_own_item_is_named(play: Play) -> None:
    row = next(row for row in play.results["slipped"].items if row.item == "own-room-left")
    assert (row.outcome, row.slip, row.points, row.max_points) == ("slip", "both-sides", 0, 2)
    assert row.message == "This is what comes out when the room on both sides together is given."
    assert row.route.endswith(" mm")


def test_an_own_file_that_was_handed_in_is_never_run(
    play: Play, in_gradebook: Callable, recorder: Recorder
) -> None:
    row = play.results["sly"]
    seen = Told(row.state, row.points, "run" if play.trap.exists() else "not run")
    does = "hands in a question's own file, changed, beside right answers"
    recorder.saw(does, Told("marked", AUTOMATIC), seen, most=AUTOMATIC)
    for course in (play.ours, play.theirs):
        assert sum(value or 0 for value in in_gradebook(course, "sly").values()) == AUTOMATIC
    assert not play.trap.exists()


def test_the_feedback_page_tells_released_points_and_the_own_item(play: Play) -> None:
    pages = {page.parts[-3]: page for page in returning.feedback(play.ours, WORKSHEET)}
    text = pages["slipped"].read_text(encoding="utf-8")
    assert "of 30 points" in text
    assert "0 of 3" in text
    assert "14. Room beside a catheter" in text
    assert "the room on both sides together is given" in text


def test_a_hand_mark_goes_up_to_the_released_points(play: Play) -> None:
    with pytest.raises(CourseError, match="must be from 0 to 3"):
        gradebook.set_manual(play.ours, WORKSHEET, "solved", "sizing-french", 4)


def test_the_report_judges_objectives_on_what_is_left(
    play: Play, capsys: pytest.CaptureFixture
) -> None:
    assert cli.main(["cohort", "report", WORKSHEET, "--workspace", str(play.ours.workspace)]) == 0
    report = (play.ours.workspace / "report" / WORKSHEET / "index.html").read_text(encoding="utf-8")
    assert "Room beside a catheter" in report
    assert "Not to be shown here: every item of it is switched off in this release" in report
    # 60 %: set in bank.toml; 68 %: (2 * 0.6875 + 3 * 0.675) / 5, by the judges and the new points
    assert "<td>60 % of the points, without what is switched off (“How much of the vein" in report
    assert "<td>68 % of the points</td>" in report
    marks = (play.ours.workspace / "report" / WORKSHEET / "marks.csv").read_text(
        encoding="utf-8-sig"
    )
    rows = {row["learner"]: row for row in csv.DictReader(io.StringIO(marks, newline=""))}
    solved, slipped = rows["solved"], rows["slipped"]
    assert solved["objective flow"] == "no evidence"
    assert solved["objective size-ratio"] == solved["objective size-dimensions"] == "shown"
    assert (solved["sizing-french"], solved["own-room-left"]) == ("3", "2")
    assert not set(OFF) & set(solved)
    assert slipped["objective size-dimensions"] == "to work on"  # 2 of 5 points


def test_a_sheet_in_the_course_folder_sets_the_reports_pass_shares(
    play: Play, tmp_path: Path
) -> None:
    course = Course(shutil.copytree(play.ours.workspace, tmp_path / "w"))
    sheet = "item,points,judge_1,judge_2\nsizing-upper-diameter,2,90,90\nsizing-french,2,40,50\n"
    (course.workspace / "standard-ours.csv").write_text(sheet, encoding="utf-8")
    assert cli.main(["cohort", "report", WORKSHEET, "--workspace", str(course.workspace)]) == 0
    report = (course.workspace / "report" / WORKSHEET / "index.html").read_text(encoding="utf-8")
    assert "<td>63 % of the points</td>" in report  # (2 * 0.9 + 3 * 0.45) / 5
    # the fewest judges that any item of the sheets has; one's own item is by its author
    assert "2 judges expect of somebody who just passes (1 of the items by their" in report
    assert "no such panel met" in report
    own_panel = 'invented = false\nnotice = "Set by our ward."\nheld_on = "2031-02-03"\n'
    (course.workspace / "standard-setting.toml").write_text(own_panel, encoding="utf-8")
    assert cli.main(["cohort", "report", WORKSHEET, "--workspace", str(course.workspace)]) == 0
    report = (course.workspace / "report" / WORKSHEET / "index.html").read_text(encoding="utf-8")
    assert "no such panel met" not in report
    assert "held on 2031-02-03, where the course folder does not set them. Set by our" in report


def test_what_is_done_to_own_items_after_the_release_changes_no_report(
    play: Play, tmp_path: Path
) -> None:
    course = Course(shutil.copytree(play.ours.workspace, tmp_path / "w"))
    with (course.workspace / "bank.toml").open("a", encoding="utf-8") as file:
        file.write("[items.own-room-left]\npoints = 5\n")
    folder = course.workspace / "items"
    (folder / "room_left.py").unlink()
    (folder / "next.py").write_text("ITEM = ", encoding="utf-8")
    command = ["cohort", "report", WORKSHEET, "--workspace", str(course.workspace)]
    assert cli.main(command) == 0
    report = (course.workspace / "report" / WORKSHEET / "index.html").read_text(encoding="utf-8")
    assert "Room beside a catheter" in report
    assert "of 28 points</strong>" in report  # 30 are asked, 2 of them optional


def test_a_worksheets_pass_share_is_the_reports_pass_mark(play: Play, tmp_path: Path) -> None:
    course = Course(shutil.copytree(play.ours.workspace, tmp_path / "w"))
    with (course.workspace / "bank.toml").open("a", encoding="utf-8") as file:
        file.write("catheter-sizing = 0.75\n")
    assert cli.main(["cohort", "report", WORKSHEET, "--workspace", str(course.workspace)]) == 0
    report = (course.workspace / "report" / WORKSHEET / "index.html").read_text(encoding="utf-8")
    # 0.75 of 25 automatic and 3 by hand; the optional 2 are in no pass mark
    assert "<strong>21 of 28 points</strong>" in report
    assert "as the educator set it for this course." in report
    assert report.count("75 % of the points") == 4  # of six, one has its own, one is off


# ------------------------------------------------------------------------- the source, and back


def test_the_course_folders_source_goes_back_when_the_changes_go(
    copy_course: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    folder = course.source(WORKSHEET)
    path = folder / f"{WORKSHEET}.ipynb"
    told = notebook(folder)
    told["cells"][0]["source"] = "".join(told["cells"][0]["source"]).replace(
        "Catheter sizing", "The lesson"
    )
    path.write_text(json.dumps(told), encoding="utf-8")
    untouched = sources(folder)
    change(course)
    releasing.release(course, WORKSHEET, "spring")
    assert len(sources(folder)) < len(untouched)
    assert (folder_of(course.workspace, WORKSHEET, "spring") / "own-room_left.py").is_file()
    (course.workspace / "bank.toml").write_text("[items.sizing-french]\npoints = 2\n")
    (course.workspace / "items" / "room_left.py").unlink()
    releasing.release(course, WORKSHEET, "summer")
    assert sources(folder) == untouched
    assert "The lesson" in untouched[0]
    assert grade_cells(folder) == grade_cells(
        tables.course_folder("exercises") / "source" / WORKSHEET
    )
    assert not (folder / "own-room_left.py").exists()
    assert not (course.released(WORKSHEET) / "own-room_left.py").exists()


def test_a_second_release_with_the_same_changes_changes_nothing(
    copy_course: Any, tmp_path: Path
) -> None:
    course = change(copy_course(tmp_path / "w", ["ann"]))
    first = releasing.release(course, WORKSHEET, "spring").read_bytes()
    before = notebook(course.source(WORKSHEET))
    assert releasing.release(course, WORKSHEET, "spring").read_bytes() == first
    assert notebook(course.source(WORKSHEET)) == before


def test_without_changes_the_educators_source_stays_byte_for_byte(
    copy_course: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    path = course.source(WORKSHEET) / f"{WORKSHEET}.ipynb"
    before = path.read_bytes()
    releasing.release(course, WORKSHEET, "spring")
    assert path.read_bytes() == before


def test_changed_items_need_another_name(copy_course: Any, tmp_path: Path) -> None:
    course = change(copy_course(tmp_path / "w", ["ann"]))
    releasing.release(course, WORKSHEET, "spring")
    edit_own(course, '"vein_diameter_mm": draw.step(3.0', '"vein_diameter_mm": draw.step(3.1')
    with pytest.raises(CourseError, match="choose another name"):
        releasing.release(course, WORKSHEET, "spring")


def test_a_release_that_fails_leaves_source_and_release_as_they_were(
    copy_course: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    folder = course.source(WORKSHEET)
    path = folder / f"{WORKSHEET}.ipynb"
    path.write_text(path.read_text().replace("The answer is one", "### BEGIN HIDDEN TESTS"))
    before = path.read_bytes()
    change(course)
    with pytest.raises(CourseError):
        releasing.release(course, WORKSHEET, "spring")
    assert path.read_bytes() == before
    assert course.release(WORKSHEET).name == "autumn-1"
    assert not (folder / "own-room_left.py").exists()


def test_all_items_that_are_off_and_back_leave_every_worksheet_as_it_was(tmp_path: Path) -> None:
    """For each worksheet of the course: half the items out, and back at their places."""
    from cubital import items  # noqa: PLC0415
    from cubital.marking.cohort.adapting import Wishes, adapted  # noqa: PLC0415

    for worksheet, listed in items.WORKSHEETS.items():
        folder = tables.course_folder("exercises") / "source" / worksheet
        path = folder / f"{worksheet}.ipynb"
        pristine = json.loads(path.read_text(encoding="utf-8"))
        off = [item.id for item in listed[::2]]
        left = [item for item in listed if item.id not in off]
        without = adapted(pristine, pristine, Wishes(left, off, (), ()))
        text = json.dumps(without)
        assert not any(f'ask(\\"{item}\\"' in text for item in off), worksheet
        assert all(f'ask(\\"{item.id}\\"' in text for item in left), worksheet
        back = adapted(without, pristine, Wishes(listed, (), (), ()))
        assert [("".join(c["source"]), c["metadata"], c["id"]) for c in back["cells"]] == [
            ("".join(c["source"]), c["metadata"], c["id"]) for c in pristine["cells"]
        ], worksheet


# ------------------------------------------------------------------------------ what is refused


@pytest.mark.parametrize(
    ("bank", "words"),
    [
        ("[items.sizing-franch]\noff = true", "no item “sizing-franch”; there are: sizing-upper"),
        ("[items.sizing-french]\npoints = 0", "points is 0: it must be a number above 0"),
        ("[items.sizing-french]\npoints = true", "points is True: it must be a number"),
        ("[items.sizing-french]\npoints = nan", "points is nan: it must be a number"),
        ("[items.sizing-french]\npoint = 3", "'point' is not a key; allowed are: points, off"),
        ("[items.sizing-french]\noff = 1", "off is 1: it must be true or false"),
        ("[items.cannot-size-first]\noff = true", 'critical_off = "where else it is taught'),
        ('[items.cannot-size-first]\noff = true\ncritical_off = " "', "a reason in words"),
        ('[items.sizing-french]\noff = true\ncritical_off = "x"', "this one need not be"),
        ("[item.sizing-french]\noff = true", "'item' is not a section; allowed are: items, pass"),
        ("[pass_share]\ncatheter-sizing = 70", "above 0 and at most 1; for 70 % write 0.7"),
        ("[pass_share]\nsize-ration = 0.7", "no such worksheet or objective; worksheets: cath"),
        ("[pass_share]\nsize-ratio = 0", "size-ratio is 0: it must be above 0"),
        ("[items.sizing-french\n", "is not readable as TOML"),
        ("items = 3", "items must be sections such as"),
    ],
)
def test_a_bank_that_cannot_be_used_says_where_and_what_is_allowed(
    copy_course: Any, tmp_path: Path, bank: str, words: str
) -> None:
    course = change(copy_course(tmp_path / "w", ["ann"]), bank, own_item=False)
    with pytest.raises(CourseError) as told:
        releasing.release(course, WORKSHEET, "spring")
    assert words in str(told.value)
    assert str(course.workspace / "bank.toml") in str(told.value)
    assert course.release(WORKSHEET).name == "autumn-1"


def test_a_critical_item_is_off_with_a_reason(copy_course: Any, tmp_path: Path) -> None:
    bank = (
        "[items.sizing-picture-width]\noff = true\n[items.cannot-size-other]\noff = true\n"
        '[items.cannot-size-first]\noff = true\ncritical_off = "assessed at the bedside"\n'
        '[items.cannot-size-second]\noff = true\ncritical_off = "asked in person"\n'
    )
    course = change(copy_course(tmp_path / "w", ["ann"]), bank, own_item=False)
    releasing.release(course, WORKSHEET, "spring")
    assert course.release(WORKSHEET).off == (
        "cannot-size-second",
        "sizing-picture-width",
        "cannot-size-first",
        "cannot-size-other",
    )
    text = "\n".join(sources(course.released(WORKSHEET)))
    assert "cannot-size" not in text
    assert "on safety" not in text
    assert cli.main(["cohort", "report", WORKSHEET, "--workspace", str(course.workspace)]) == 0
    report = (course.workspace / "report" / WORKSHEET / "index.html").read_text(encoding="utf-8")
    assert "switched off in this release (assessed at the bedside; asked in person)" in report
    (course.workspace / "bank.toml").unlink()
    releasing.release(course, WORKSHEET, "summer")
    again = sources(course.released(WORKSHEET))[0].split("\n\n")
    assert again[2].startswith("Fifteen questions")
    assert again[3].startswith("Two of these fifteen questions are on safety")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('WORKSHEET = "catheter-sizing"', 'WORKSHEET = "catheters"', "WORKSHEET is “catheters”;"),
        ('OBJECTIVE = "size-ratio"', 'OBJECTIVE = "reach-way"', "those of catheter-sizing are"),
        ('OBJECTIVE = "size-ratio"', "", "does not define OBJECTIVE"),
        ("PASS_SHARE = 0.7", "PASS_SHARE = 70", "PASS_SHARE is 70: it must be above 0"),
        ("PASS_SHARE = 0.7", "", "nothing says how many who just pass get “own-room-left” right"),
        ('id="own-room-left"', 'id="room-left"', "it must be “own-” and letters"),
        ('section="Catheter and vein: the ratio"', 'section="Ratios"', "section is “Ratios”; 40-"),
        ("points=2,", "points=-1,", "points is -1: it must be a number above 0"),
        ('unit="mm"', 'unit="furlongs"', "unit is 'furlongs'; there are:"),
        ('quantity="vein_diameter_mm"', 'quantity="room"', "quantity is 'room': it must be a key"),
        ('example="1.35 mm"', 'example="1.35"', "which cannot be typed: The unit is missing"),
        ("lambda values: 2 * answer(values)", "answer", "no values in 200 draws keep its slips"),
        ("relative_tolerance=0.02", "relative_tolerance=0.0", "the tolerance is 0"),
        ("draw.choose([18, 20, 22])", "(18, 20)", "ValueError: no catheter of gauge (18, 20)"),
        ("    return (values[", "    return (value[", ", line 51: NameError: name 'value'"),
        ("draw.step(3.0, 6.0, 0.1)", "4.0", "different sets of values; 4 at least"),
        ("def answer(values):", "def answer(values)", "line 49: SyntaxError"),
        ("ITEM = NumberItem(", "ITEM = dict(", "ITEM is a dict: it must be one of NumberItem"),
    ],
)
def test_an_own_item_that_breaks_a_rule_is_not_released(
    copy_course: Any, tmp_path: Path, old: str, new: str, words: str
) -> None:
    course = change(copy_course(tmp_path / "w", ["ann"]), "")
    edit_own(course, old, new)
    with pytest.raises(CourseError) as told:
        releasing.release(course, WORKSHEET, "spring")
    assert words in str(told.value)
    assert "room_left.py" in str(told.value) or "own-room-left" in str(told.value)
    assert course.release(WORKSHEET).name == "autumn-1"


def test_an_own_item_may_do_with_an_objectives_pass_share_or_a_sheet(
    copy_course: Any, tmp_path: Path
) -> None:
    course = change(copy_course(tmp_path / "w", ["ann"]), "[pass_share]\nsize-ratio = 0.6\n")
    edit_own(course, "PASS_SHARE = 0.7", "")
    releasing.release(course, WORKSHEET, "spring")
    (course.workspace / "bank.toml").unlink()
    sheet = "item,points,judge_1,judge_2\nown-room-left,2,80,90\n"
    (course.workspace / "standard-own.csv").write_text(sheet, encoding="utf-8")
    releasing.release(course, WORKSHEET, "summer")


TEXT = """
from cubital.items import TextItem

WORKSHEET = "catheter-sizing"
OBJECTIVE = "size-choice"
PASS_SHARE = 0.5
ITEM = TextItem(
    id="own-why", title="Say why", points=2, section="The smallest catheter that does the job",
    draw_values=lambda draw: {}, ask=lambda values: "Say in two sentences why the smallest one.",
    mark_scheme=("It leaves room for flow (1 point).", "It harms the wall less (1 point)."),
)
"""
CHOICE = """
from cubital.items import ChoiceItem, Option

WORKSHEET = "catheter-sizing"
OBJECTIVE = "measure-vein"
PASS_SHARE = 0.5
TEXTS = {"scan": "Ultrasound.", "picture": "The picture.", "guess": "By eye.", "age": "By age."}
ITEM = ChoiceItem(
    id="own-how", title="How to measure", points=1.5, critical=True,
    section="Measure the vein, do not read it off the picture",
    draw_values=lambda draw: {"order": draw.shuffled(list(TEXTS))},
    ask=lambda values: "How is the vein measured?",
    options=lambda values: [
        Option(key, TEXTS[key], "" if key == "scan" else "takes a sign for a measure")
        for key in values["order"]
    ],
)
"""
ORDER = """
from cubital.items import Before, OrderItem, Step

WORKSHEET = "catheter-sizing"
OBJECTIVE = "drip"
PASS_SHARE = 0.5
STEPS = [Step("read", "Read the set."), Step("set", "Set the drip."), Step("count", "Recount.")]
ITEM = OrderItem(
    id="own-steps", title="Set a drip", points=1, section="Drops and hours",
    draw_values=lambda draw: {"ward": draw.step(1, 9, 1),
                              "shown": draw.shuffled(["read", "set", "count"])},
    ask=lambda values: f"On ward {values['ward']:.0f} a drip is to be set. Put in order.",
    steps=lambda values: STEPS,
    rules=(Before("read-first", "read", "set", "trusts the label"),
           Before("count-last", "set", "count", "counts before it runs")),
)
"""
TABLE = """
from cubital.items import Column, Row, TableItem

WORKSHEET = "catheter-sizing"
OBJECTIVE = "drip"
PASS_SHARE = 0.5
ITEM = TableItem(
    id="own-units", title="Which unit", points=1, section="Drops and hours",
    draw_values=lambda draw: {"order": draw.shuffled(["bag", "rate", "time"])},
    ask=lambda values: "What is each given in?",
    columns=lambda values: [Column("ml", "mL"), Column("h", "h")],
    rows=lambda values: [
        Row(key, key, "h" if key == "time" else "ml", {"ml" if key == "time" else "h": "mixes"})
        for key in values["order"]
    ],
)
"""


def test_own_items_of_other_kinds_are_asked_and_marked_on_both_routes(
    copy_course: Any, desk: Any, nbgrader: Any, in_gradebook: Callable, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "ours", ["ann", "ben"])
    (course.workspace / "items").mkdir()
    for name, text in (("why", TEXT), ("how", CHOICE), ("steps", ORDER), ("units", TABLE)):
        (course.workspace / "items" / f"{name}.py").write_text(text, encoding="utf-8")
    releasing.release(course, WORKSHEET, "spring")
    text = "\n".join(sources(course.released(WORKSHEET)))
    assert "\n\n1.5 points.\n" in text
    assert "Three of these nineteen questions are on safety and must all be right to pass" in text
    assert "2 points, marked by hand." in text
    assert "It harms the wall less" not in text
    desk(course, "ann", tmp_path).answer().hand_in()
    entered = {
        "own-how": "picture",
        "own-steps": ["set", "read", "count"],
        "own-units": {"bag": "ml", "rate": "h", "time": "h"},
    }
    desk(course, "ben", tmp_path).answer(entered).hand_in()
    assert collecting.collect(course, WORKSHEET) == []
    theirs = Course(shutil.copytree(course.workspace, tmp_path / "theirs"))
    nbgrader(theirs.workspace, "autograde", WORKSHEET)
    results = {row.learner: row for row in marker.mark(course, WORKSHEET)}
    assert results["ann"].points == 30 + 1.5 + 1 + 1
    assert results["ann"].waiting == ("sizing-reasons", "own-why")
    points = in_gradebook(course, "ben")
    assert (points["own-how"], points["own-units"]) == (0, 0.67)
    assert points["own-steps"] == 0.5, "one of its two rules is kept"
    slips = {row.item: row.slip for row in results["ben"].items if row.slip}
    assert slips == {
        "own-how": "picture",
        "own-steps": "read-first",
        "own-units": "rate-as-h",
    }
    for learner in ("ann", "ben"):
        assert in_gradebook(theirs, learner) == in_gradebook(course, learner)
    gradebook.set_manual(course, WORKSHEET, "ann", "own-why", 2, "Both are there.")
    assert cli.main(["cohort", "report", WORKSHEET, "--workspace", str(course.workspace)]) == 0
    report = (course.workspace / "report" / WORKSHEET / "index.html").read_text(encoding="utf-8")
    assert "“How to measure”: Takes a sign for a measure." in report  # ben, critical item wrong
