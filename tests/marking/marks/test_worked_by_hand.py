"""Three learners' answers and marks, worked out with pencil and pocket calculator.

No number here was made by this course's code. The steps stand beside each answer. Taken from
outside: gauge bands, nominal flows and drop factors (the lesson's tables), French = 3 x mm,
ratio = catheter / vein by diameter, flow ~ bore^4, water at 20 degrees C 1.0016 mPa s and
998.21 kg/m3, g = 9.80665 m/s2, and for a short tube p = a Q + b Q^2 with
a = 128 mu L / (pi d^4), b = K 8 rho / (pi^2 d^4), K = 2.28, all in SI units.

Ada is right throughout, Bo makes known slips and sizes from the picture, Cy stops half-way and
types in other units.
"""

import shutil
from collections.abc import Mapping
from typing import Any, NamedTuple

import pytest

from cubital.handin.released import sealed
from cubital.handin.released.papers import write_papers
from cubital.marking.cohort import collecting, releasing
from cubital.marking.cohort.course import Course
from cubital.marking.marks import gradebook, marker

WORKSHEET = "catheter-sizing"
RELEASE = "worked-by-hand"
CODE = "sizing-ratio-code"
TEXT = "sizing-reasons"


class Worked(NamedTuple):
    """Words of the question that the working rests on, what is entered, and its mark."""

    given: tuple[str, ...]
    typed: str | None  # None: left blank
    points: int | None  # None: a text that waits for its reader
    slip: str | None = None


ADA = {
    # 14 G: band 1.850 to 2.249 mm; the upper end.
    "sizing-upper-diameter": Worked(("outer diameter of a 14 G",), "2.249 mm", 2),
    # 3 x 2.13 = 6.39
    "sizing-french": Worked(("2.13 mm",), "6.39 Fr", 2),
    # No vein of the lower arms takes even the thinnest.
    "cannot-size-second": Worked(("shows a fine net",), "midline-above", 2),
    # 22 G goes up to 0.949 mm; 0.949 / 3.2 = 0.2966
    "sizing-ratio": Worked(("3.2 mm", "22 G"), "0.30", 2),
    # 18 G goes up to 1.349 mm; 1.349 / 0.41 = 3.290
    "sizing-smallest-vein": Worked(("41 %", "18 G"), "3.29 mm", 2),
    # Areas go by the square: 0.34 x 0.34 = 0.1156
    "sizing-area-share": Worked(("0.34",), "0.12", 2),
    # A picture's width sizes nothing.
    "sizing-picture-width": Worked(("3.4 mm wide", "Nobody has scanned"), "cannot-be-sized", 2),
    # 22 G gives 36, 20 G gives 61 mL/min: 20 G is the thinnest for 42.
    # 1.149 / 2.4 = 0.479, over 0.45: not in this vein.
    "sizing-smallest-adequate": Worked(("42 mL/min", "2.4 mm", "45 %"), "none", 2),
    # The other vein was measured for this order, and the catheter fits.
    "cannot-size-first": Worked(("Sharp means shallow",), "measured-one", 2),
    # 0.85 / 0.65 = 1.3077; squared 1.7101; squared again 2.9243; 1.4 x 2.9243 = 4.094
    "sizing-bore-flow": Worked(("1.4 mL/min", "0.65 mm", "0.85 mm"), "4.1 mL/min", 2),
    # p = 998.21 x 9.80665 x 0.750 = 7341.9
    # d^4 = 0.0008^4 = 4.096e-13
    # a = 128 x 0.0010016 x 0.048 / (3.14159 x 4.096e-13) = 6.1538e-3 / 1.28680e-12 = 4.7823e9
    # b = 2.28 x 8 x 998.21 / (9.8696 x 4.096e-13) = 18207 / 4.0426e-12 = 4.5038e15
    # a^2 + 4 b p = 2.2870e19 + 1.32265e20 = 1.55135e20; its root 1.24553e10
    # Q = (12.4553e9 - 4.7823e9) / (2 x 4.5038e15) = 8.5184e-7 m3/s; x 60e6 = 51.1 mL/min
    "sizing-gravity-flow": Worked(("water at 20 °C", "750 mm", "0.80 mm", "48 mm"), "51 mL/min", 2),
    # 500 x 60 = 30,000 drops in 12 x 60 = 720 min: 41.7
    "sizing-drip-rate": Worked(("500 mL over 12 hours", "60 drops/mL"), "42 drops/min", 2),
    # 1000 / 230 = 4.348 h; 0.348 x 60 = 20.9 min
    "sizing-infusion-time": Worked(("1000 mL", "230 mL/h"), "4 h 21 min", 2),
    # The vein was measured there a moment ago.
    "cannot-size-other": Worked(("Ten minutes ago ultrasound",), "by-the-scan", 2),
    CODE: Worked(("0.81 mm in 2.2 mm",), "return outer_diameter_mm / vein_diameter_mm", 2),
    TEXT: Worked(
        ("4.0 mm", "20 G"),
        "The dark band is a shadow, spread by the skin, not the vein's width. Measure with "
        "ultrasound and without a tourniquet, and compare the largest outer diameter with the "
        "local limit. Too large a catheter slows the blood, and a clot may form.",
        None,
    ),
}

BO = {
    # 16 G begins at 1.550 mm. Right: it goes up to 1.849 mm.
    "sizing-upper-diameter": Worked(("outer diameter of a 16 G",), "1.55 mm", 0, "lower-end"),
    # Radius 1.65 / 2 = 0.825; 3 x 0.825 = 2.475. Right: 4.95.
    "sizing-french": Worked(("1.65 mm",), "2.48 Fr", 0, "radius-for-diameter"),
    # No vein that was measured takes what the flow needs, and no picture measures another.
    "cannot-size-second": Worked(
        ("A man is to have fluid fast",), "search-the-picture", 0, "search-the-picture"
    ),
    # 16 G goes up to 1.849 mm; 5.1 / 1.849 = 2.758. Right: 1.849 / 5.1 = 0.3625.
    "sizing-ratio": Worked(("5.1 mm", "16 G"), "2.76", 0, "ratio-upside-down"),
    # 41 % of the area is the root of 0.41 by diameter, 0.6403; 1.849 / 0.6403 = 2.888.
    # Right: 1.849 / 0.41 = 4.510.
    "sizing-smallest-vein": Worked(("41 %", "16 G"), "2.89 mm", 0, "area-for-diameter"),
    # 0.38 x 0.38 = 0.1444
    "sizing-area-share": Worked(("0.38",), "14.4 %", 2),
    # 0.949 / 2.7 = 0.35 looks well within 0.45, but 2.7 mm is not the vein's width.
    "sizing-picture-width": Worked(
        ("2.7 mm wide", "Nobody has scanned"), "size-from-picture", 0, "size-from-picture"
    ),
    # 20 G gives 61, 18 G gives 105 mL/min: 18 G is the thinnest for 71.
    # 1.349 / 3.2 = 0.4216, within 0.45: the vein takes it.
    "sizing-smallest-adequate": Worked(("71 mL/min", "3.2 mm", "45 %"), "smallest", 2),
    # A ruler on the picture sizes nothing, and there is time for a probe.
    "cannot-size-first": Worked(("three millimetres wide by the ruler",), "probe-before-four", 2),
    # 1.00 / 0.80 = 1.25; squared 1.5625; 2.7 x 1.5625 = 4.219.
    # Right: squared again 2.4414; 2.7 x 2.4414 = 6.592.
    "sizing-bore-flow": Worked(
        ("2.7 mL/min", "0.80 mm", "1.00 mm"), "4.2 mL/min", 0, "square-for-fourth-power"
    ),
    # p = 998.21 x 9.80665 x 0.600 = 5873.5
    # a = 128 x 0.0010016 x 0.032 / (3.14159 x 1e-12) = 1.30588e9
    # The long-tube law alone: Q = p / a = 4.498e-6 m3/s; x 60e6 = 269.9 mL/min.
    # Right: b = 18207 / 9.8696e-12 = 1.84479e15; a^2 + 4 b p = 4.50463e19; its root 6.7117e9;
    # (6.7117e9 - 1.3059e9) / 3.68958e15 = 1.465e-6 m3/s = 87.9 mL/min.
    "sizing-gravity-flow": Worked(
        ("water at 20 °C", "600 mm", "1.00 mm", "32 mm"), "270 mL/min", 0, "losses-left-out"
    ),
    # With the 20-drop set instead: 10,000 drops in 720 min, 13.9. Right: 30,000 / 720 = 41.7.
    "sizing-drip-rate": Worked(
        ("500 mL over 12 hours", "60 drops/mL"), "14 drops/min", 0, "wrong-drop-factor"
    ),
    # 500 / 200 = 2.5 h = 150 min, given as hours.
    "sizing-infusion-time": Worked(("500 mL", "200 mL/h"), "150 h", 0, "minutes-for-hours"),
    "cannot-size-other": Worked(("shows two bands on a forearm",), "faint-one", 2),
    CODE: Worked(
        ("0.65 mm in 3.3 mm",),
        "return (outer_diameter_mm / vein_diameter_mm) ** 2",
        0,
        "area-for-diameter",
    ),
    TEXT: Worked(("3.5 mm", "18 G"), "The band is only a shadow, so it may be wrong.", None),
}

CY = {
    # 20 G: band 0.950 to 1.149 mm; 1.149 mm = 0.1149 cm
    "sizing-upper-diameter": Worked(("outer diameter of a 20 G",), "0.1149 cm", 2),
    # 3 x 0.84 = 2.52
    "sizing-french": Worked(("0.84 mm",), "2,52 Fr", 2),
    # Sharp says nothing of the depth, and no finger finds the band.
    "cannot-size-second": Worked(("Sharp means shallow",), "flat-and-slow", 0, "flat-and-slow"),
    # 18 G goes up to 1.349 mm; 1.349 / 2.3 = 0.5865
    "sizing-ratio": Worked(("2.3 mm", "18 G"), "58,7 %", 2),
    # 16 G goes up to 1.849 mm; 1.849 / 0.41 = 4.510 mm = 0.451 cm
    "sizing-smallest-vein": Worked(("41 %", "16 G"), "0.451 cm", 2),
    # Right: 0.59 x 0.59 = 0.348. A guess of 0.5 is no known slip: those give 0.59 itself,
    # the free 1 - 0.348 = 0.652, and half, 0.295.
    "sizing-area-share": Worked(("0.59",), "50 %", 0),
    "sizing-picture-width": Worked(("2.6 mm wide", "Nobody has scanned"), None, 0),
    # 18 G gives 105, 16 G gives 220 mL/min: 16 G is the thinnest for 149.
    # 1.849 / 3.9 = 0.474, over 0.45. Cy takes the 16 G all the same.
    "sizing-smallest-adequate": Worked(("149 mL/min", "3.9 mm", "45 %"), "smallest", 0, "smallest"),
    "cannot-size-first": Worked(("shows a fine net",), None, 0),
    "sizing-bore-flow": Worked(("1.8 mL/min", "0.60 mm", "0.90 mm"), None, 0),
    # p = 998.21 x 9.80665 x 0.600 = 5873.5
    # d^4 = 0.00095^4 = 8.1451e-13
    # a = 128 x 0.0010016 x 0.045 / (3.14159 x 8.1451e-13) = 5.7692e-3 / 2.5588e-12 = 2.2546e9
    # b = 18207 / (9.8696 x 8.1451e-13) = 18207 / 8.0389e-12 = 2.2649e15
    # a^2 + 4 b p = 5.0833e18 + 5.32114e19 = 5.82947e19; its root 7.6351e9
    # Q = (7.6351e9 - 2.2546e9) / 4.5298e15 = 1.1878e-6 m3/s; x 60e6 = 71.27 mL/min
    # 71.27 x 60 / 1000 = 4.28 L/h
    "sizing-gravity-flow": Worked(("water at 20 °C", "600 mm", "0.95 mm", "45 mm"), "4.28 L/h", 2),
    "sizing-drip-rate": Worked(("1,000 mL over 20 hours", "20 drops/mL"), None, 0),
    # 500 / 190 = 2.632 h; x 60 = 157.9 min
    "sizing-infusion-time": Worked(("500 mL", "190 mL/h"), "158 min", 2),
    "cannot-size-other": Worked(("Ten minutes ago ultrasound",), "by-the-scan", 2),
    CODE: Worked(("0.79 mm in 2.4 mm",), None, 0),
    TEXT: Worked(("3.7 mm", "18 G"), None, 0),
}

LEARNERS = {"ada.alder": ADA, "bo.birch": BO, "cy.cedar": CY}
# Counted in the columns above. Ada's text has all three points of its scheme, Bo's one.
AUTOMATIC = {"ada.alder": 30, "bo.birch": 8, "cy.cedar": 14}
BY_HAND = {"ada.alder": 3, "bo.birch": 1}
TOTAL = {"ada.alder": 33, "bo.birch": 9, "cy.cedar": 14}


class Marked(NamedTuple):
    """The same hand-ins, marked by the course and by nbgrader's own command."""

    ours: Course
    theirs: Course
    results: Mapping[str, Any]
    asked: Mapping[str, Mapping[str, str]]


def put_on_paper(course: Course) -> None:
    """Give each learner a paper with the values that were worked out by hand."""
    release = course.release(WORKSHEET)
    papers = course.sealed(release)
    for learner in LEARNERS:
        paper = papers.papers.paper_of(learner)
        for item in release.listed():
            values = release.values(item, learner)
            form, row = sealed.drawn(item, values, "by hand")
            papers.papers.forms[paper][item.id], papers.rows[paper][item.id] = form, row
    sealed.write_sealed(sealed.folder_of(course.workspace, WORKSHEET, RELEASE), papers)
    for folder in (course.source(WORKSHEET), course.released(WORKSHEET)):
        write_papers(folder, papers.papers)
    releasing.make_handout(course, WORKSHEET)


@pytest.fixture(scope="module")
def marked(
    copy_course: Any, desk: Any, nbgrader: Any, tmp_path_factory: pytest.TempPathFactory
) -> Marked:
    where = tmp_path_factory.mktemp("by-hand")
    ours = copy_course(where / "ours", LEARNERS)
    releasing.release(ours, WORKSHEET, RELEASE)
    put_on_paper(ours)
    asked = {}
    for learner, worked in LEARNERS.items():
        at = desk(ours, learner, where / "homes")
        asked[learner] = {item: at.store.form(item).question for item in at.release.items}
        for item, answer in worked.items():
            if answer.typed is None:
                continue
            if item == CODE:
                at.write_line(answer.typed)
            else:
                at.save(item, answer.typed)
        at.hand_in()
    assert collecting.collect(ours, WORKSHEET) == []
    theirs = Course(shutil.copytree(ours.workspace, where / "theirs"))
    results = {row.learner: row for row in marker.mark(ours, WORKSHEET)}
    nbgrader(theirs.workspace, "autograde", WORKSHEET)
    return Marked(ours, theirs, results, asked)


@pytest.mark.parametrize("learner", LEARNERS)
def test_the_questions_are_the_ones_worked_out(marked: Marked, learner: str) -> None:
    asked = marked.asked[learner]
    assert list(asked) == list(LEARNERS[learner])
    for item, worked in LEARNERS[learner].items():
        for words in worked.given:
            assert words in asked[item]


@pytest.mark.parametrize("learner", LEARNERS)
def test_the_course_gives_the_marks_worked_out(marked: Marked, learner: str) -> None:
    rows = {row.item: (row.points, row.slip) for row in marked.results[learner].items}
    assert rows == {item: (w.points, w.slip) for item, w in LEARNERS[learner].items()}
    assert marked.results[learner].points == AUTOMATIC[learner]


@pytest.mark.parametrize("learner", LEARNERS)
@pytest.mark.parametrize("by", ["ours", "theirs"])
def test_both_gradebooks_hold_the_marks_worked_out(
    marked: Marked, learner: str, by: str, in_gradebook: Any
) -> None:
    points = in_gradebook(getattr(marked, by), learner)
    assert points == {item: worked.points for item, worked in LEARNERS[learner].items()}
    assert sum(value or 0 for value in points.values()) == AUTOMATIC[learner]


@pytest.mark.parametrize("learner", LEARNERS)
@pytest.mark.parametrize("by", ["ours", "theirs"])
def test_with_the_text_read_both_come_to_the_totals_worked_out(
    marked: Marked, learner: str, by: str
) -> None:
    course = getattr(marked, by)
    if learner in BY_HAND:
        gradebook.set_manual(course, WORKSHEET, learner, TEXT, BY_HAND[learner])
    with course.gradebook() as book:
        submission = book.find_submission(WORKSHEET, learner)
        assert (submission.score, submission.max_score) == (TOTAL[learner], 33)
        assert not submission.needs_manual_grade
