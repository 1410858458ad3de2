"""A principle that was missed: talk, retake, observed practice, decision, each by its command."""

import zipfile
from dataclasses import asdict, replace
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from cubital import items
from cubital.cli import main
from cubital.educator.choose import choose
from cubital.educator.report import course_decisions
from cubital.educator.second_chance.recording import decide, observe, talk
from cubital.educator.second_chance.retake import retake, standings
from cubital.handin.files import write_json
from cubital.handin.objectives import knowledge_of, rule_of
from cubital.handin.principles.records import FILE as RECORDS
from cubital.handin.principles.records import FORMAT, read_records
from cubital.handin.principles.retakes import home_of
from cubital.handin.released.papers import read_papers
from cubital.items.principles import asked as vignette_items
from cubital.items.principles.course import PRINCIPLES
from cubital.marking.cohort import collecting, parallel, retaking
from cubital.marking.cohort.course import Course
from cubital.marking.counting.looking import to_look_at
from cubital.marking.counting.standings import standings as counted
from cubital.marking.errors import CourseError
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook, marker
from cubital.study.folders import open_released

WORKSHEET, KEY = "catheter-sizing", "cannot-size"
FIRST, SECOND, OTHER = (f"{KEY}-{part}" for part in ("first", "second", "other"))
PAIRS = PRINCIPLES[KEY].pairs


class Sitting(NamedTuple):
    """A course in which Ann missed a principle and Ben did not, and where their folders lie."""

    course: Course
    home: Path
    desk: Any


def wrong(at: Any, item: str) -> str:
    """Return a wrong way of the vignette that a learner was asked."""
    return next(key for key, why in at.question(item).key.options if why)


@pytest.fixture
def sitting(copy_course: Any, desk: Any, moment: Any, tmp_path: Path) -> Sitting:
    course = copy_course(tmp_path / "w", ["ann", "ben"])
    for name in ("ann", "ben"):
        at = desk(course, name, tmp_path / "homes")
        but = {FIRST: wrong(at, FIRST)} if name == "ann" else {OTHER: wrong(at, OTHER)}
        at.answer(but).hand_in(moment(8))
    assert collecting.collect(course, WORKSHEET) == []
    marker.mark(course, WORKSHEET)
    return Sitting(course, tmp_path / "homes", desk)


def stands(sitting: Sitting, learner: str = "ann") -> Any:
    (one,) = standings(sitting.course.workspace, WORKSHEET, learner=learner)
    return one


def answer(
    sitting: Sitting, handout: Path, name: str, *, right: bool, hour: Any, who: str = "ann"
) -> Any:
    """Open the file that was handed out, answer it and hand in; return the desk."""
    worksheet = name
    folder = sitting.home / who
    opened = open_released(folder, handout)
    assert opened.parent == folder / worksheet

    class Again(sitting.desk):
        WORKSHEET = worksheet

    at = Again(sitting.course, who, sitting.home)
    at.answer({} if right else {SECOND: wrong(at, SECOND)}).hand_in(hour)
    assert collecting.collect(sitting.course, worksheet) == []
    marker.mark(sitting.course, worksheet)
    return at


def both_missed(sitting: Sitting, moment: Any) -> None:
    """Have Ben hand in anew and miss the principle as well."""
    at = sitting.desk(sitting.course, "ben", sitting.home)
    at.answer({FIRST: wrong(at, FIRST)}).hand_in(moment(9))
    assert collecting.collect(sitting.course, WORKSHEET) == []
    marker.mark(sitting.course, WORKSHEET)


def vignettes(at: Any) -> set[str]:
    return {at.values(item)["vignette"] for item in (FIRST, SECOND, OTHER)}


def test_needless_stopping_costs_its_points_and_no_principle(sitting: Sitting) -> None:
    assert stands(sitting, "ben").in_words == "passed"


def test_missed_talk_two_new_cases_passed_and_every_page_says_so(
    sitting: Sitting, moment: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    workspace = sitting.course.workspace
    where = ("--workspace", str(workspace))
    assert stands(sitting).in_words == "missed; a talk is due"
    assert course_decisions(sitting.course)["ann"].critical_wrong == (FIRST,)
    with pytest.raises(CourseError, match="no retake of “cannot-size” is due for “ann”"):
        retake(workspace, KEY, "ann")
    with pytest.raises(CourseError, match="choose one of not-known, misread, slip-of-hand, other"):
        talk(workspace, KEY, "ann", reason="the patient in bed 4")
    told = ["cohort", "talk", KEY, "ann", "--reason", "misread", "--by", "Eva", *where]
    assert main(told) == 0
    assert "Recorded by Eva. ann, cannot-size: missed; talked through on" in capsys.readouterr().out
    assert main(["cohort", "retake", KEY, "ann", "--by", "Eva", *where]) == 0
    handout = workspace / "handout" / "retake-cannot-size-2-ann.zip"
    said = capsys.readouterr().out
    assert f"attempt 2:\n{handout}" in said
    assert "cubital cohort collect retake-cannot-size-2" in said
    assert "attempt 2" in stands(sitting).in_words
    before = sitting.desk(sitting.course, "ann", sitting.home)
    at = answer(sitting, handout, "retake-cannot-size-2", right=True, hour=moment(9))
    assert at.release.attempt == 2
    assert not vignettes(at) & vignettes(before)
    one = stands(sitting)
    assert one.in_words == "passed at attempt 2"
    assert course_decisions(sitting.course)["ann"].critical_wrong == ()
    assert [attempt.passed for attempt in one.attempts] == [False, True]
    assert [row.kind for row in read_records(workspace)] == ["told", "talk", "retake"]
    returning.feedback(sitting.course, WORKSHEET)
    assert main(["cohort", "report", WORKSHEET, *where]) == 0
    title = PRINCIPLES[KEY].title
    page = sitting.course.feedback("ann", WORKSHEET).read_text(encoding="utf-8")
    assert "Passed at attempt 2." in page
    assert "First: what must be right to pass" not in page
    for file in (f"{WORKSHEET}/index.html", "index.html"):
        text = (workspace / "report" / file).read_text(encoding="utf-8")
        assert title in text
        assert "passed at attempt 2" in text
        assert "retake-cannot-size" not in text
    returning.feedback(sitting.course, "retake-cannot-size-2")
    again = sitting.course.feedback("ann", "retake-cannot-size-2").read_text(encoding="utf-8")
    assert "Passed at attempt 2." in again
    assert f"Retake, attempt 2: {title}" in again
    assert "too few to decide by" not in again
    assert main(["cohort", "report", "retake-cannot-size-2", *where]) == 1


def test_a_second_retake_takes_observed_practice_and_after_it_the_educator_decides(
    sitting: Sitting, moment: Any
) -> None:
    workspace = sitting.course.workspace
    talk(workspace, KEY, "ann", reason="not-known", by="Eva")
    made = retake(workspace, KEY, "ann", by="Eva")
    asked = [vignettes(sitting.desk(sitting.course, "ann", sitting.home))]
    asked.append(
        vignettes(answer(sitting, made.handout, made.worksheet, right=False, hour=moment(9)))
    )
    with pytest.raises(CourseError, match="practice has to be observed"):
        retake(workspace, KEY, "ann")
    with pytest.raises(CourseError, match="practice has to be observed"):
        decide(workspace, KEY, "ann", passed=True)
    observe(workspace, KEY, "ann", by="Olu")
    made = retake(workspace, KEY, "ann", by="Eva")
    assert made.attempt == 3
    asked.append(
        vignettes(answer(sitting, made.handout, made.worksheet, right=False, hour=moment(10)))
    )
    assert len(set.union(*asked)) == sum(map(len, asked)) == 9  # nine cases, none of them twice
    present = {one.key for one in PRINCIPLES[KEY].present}
    assert {frozenset(cases & present) for cases in asked} == set(map(frozenset, PAIRS))
    with pytest.raises(CourseError, match="the educator decides"):
        retake(workspace, KEY, "ann")
    found = decide(workspace, KEY, "ann", passed=False, by="Eva").standing
    assert found.in_words.startswith("not passed by the decision of Eva")
    assert [attempt.passed for attempt in found.attempts] == [False, False, False]
    with pytest.raises(CourseError, match="Nothing is to be recorded"):
        decide(workspace, KEY, "ann", passed=True)


def test_a_release_is_marked_as_before_though_the_course_has_other_cases_and_ways_now(
    sitting: Sitting, moment: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The papers carry cases, ways and keys: no case of today's course is looked up."""
    course = sitting.course

    def marks() -> dict[str, list[tuple[str, float | None]]]:
        rows = gradebook.results(course, WORKSHEET)
        return {row.learner: [(one.item, one.points) for one in row.items] for row in rows}

    def gone(*_: Any) -> None:
        raise AssertionError("a case of today's course is looked up")

    before, page = marks(), course.feedback("ann", WORKSHEET)
    at = sitting.desk(course, "ben", sitting.home)
    at.answer({FIRST: wrong(at, FIRST)}).hand_in(moment(9))
    assert collecting.collect(course, WORKSHEET) == []  # before anybody is told what is right
    returning.feedback(course, WORKSHEET)
    told = page.read_text(encoding="utf-8")
    monkeypatch.setattr(vignette_items, "_named", gone)
    now = [items.find(item) for item in (FIRST, SECOND, OTHER)]
    with items.knowing(replace(item, version=item.version + 1) for item in now):
        assert collecting.collect(course, WORKSHEET) == []
        marker.mark(course, WORKSHEET)
        returning.feedback(course, WORKSHEET)
        assert main(["cohort", "report", WORKSHEET, "--workspace", str(course.workspace)]) == 0
    assert marks()["ann"] == before["ann"]
    assert dict(marks()["ben"])[FIRST] == 0
    assert page.read_text(encoding="utf-8") == told


def test_after_a_release_that_asked_one_each_of_two_pairs_two_retakes_are_left(
    sitting: Sitting, moment: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As papers of an earlier edition did: first the whole pair is asked, then what is left."""
    workspace = sitting.course.workspace
    (one, other), (two, rest), third = PAIRS
    had = {one, two, PRINCIPLES[KEY].absent[0].key}
    monkeypatch.setattr(retaking, "seen", lambda *_, **__: frozenset(had))
    talk(workspace, KEY, "ann", reason="other", by="Eva")
    asked = []
    for hour in (9, 10):
        made = retake(workspace, KEY, "ann", by="Eva")
        at = answer(sitting, made.handout, made.worksheet, right=False, hour=moment(hour))
        had |= vignettes(at)
        asked.append({at.values(item)["vignette"] for item in (FIRST, SECOND)})
        if hour == 9:
            observe(workspace, KEY, "ann", by="Olu")
    assert asked == [set(third), {other, rest}]


def let_the_last_count(course: Course) -> None:
    """Choose Ann's hand-in that came last, and mark it."""
    rows = counted(course, WORKSHEET)["ann"].seen
    last = max(rows, key=lambda row: row.arrived).attempt.id
    choose(course.workspace, WORKSHEET, "ann", last, reason="looked-into", by="Eva")
    marker.mark(course, WORKSHEET)


def test_a_hand_in_after_the_feedback_counts_for_no_total_until_the_educator_chooses_it(
    sitting: Sitting, moment: Any
) -> None:
    course = sitting.course

    def points() -> float:
        return next(r.points for r in gradebook.results(course, WORKSHEET) if r.learner == "ann")

    before = points()
    returning.feedback(course, WORKSHEET)
    again = sitting.desk(course, "ann", sitting.home)
    again.answer().hand_in(moment(10))
    assert collecting.collect(course, WORKSHEET) == []
    marker.mark(course, WORKSHEET)
    assert points() == before
    (told,) = to_look_at(course, WORKSHEET)
    assert told.file.startswith("ann, hand-in ")
    assert "it came after the feedback of " in told.reason
    assert f"cubital cohort choose {WORKSHEET} ann" in told.action
    let_the_last_count(course)
    assert points() == before + 2
    assert to_look_at(course, WORKSHEET) == []


def test_a_hand_in_after_the_feedback_passes_no_principle_and_no_course_decision(
    sitting: Sitting, moment: Any
) -> None:
    course = sitting.course
    returning.feedback(course, WORKSHEET)
    again = sitting.desk(course, "ann", sitting.home)
    again.answer().hand_in(moment(10))
    assert collecting.collect(course, WORKSHEET) == []
    let_the_last_count(course)
    one = stands(sitting)
    assert (one.state, one.told_before) == ("missed", True)
    (result,) = (row for row in gradebook.results(course, WORKSHEET) if row.learner == "ann")
    known = knowledge_of(result, rule_of(course.workspace, course.release(WORKSHEET)))
    assert any(FIRST in one.objective.critical for one in known)
    assert not any(one.critical_wrong for one in known)  # by the answers alone nothing is wrong
    assert sum(row.points for row in result.items if row.item in {FIRST, SECOND}) == 4
    assert main(["cohort", "report", WORKSHEET, "--workspace", str(course.workspace)]) == 0
    page = (course.workspace / "report" / "index.html").read_text(encoding="utf-8")
    assert "2 critical wrong" in page


@pytest.mark.parametrize("years", [0, 200])
def test_a_hand_in_that_is_dated_back_after_the_feedback_passes_no_principle(
    sitting: Sitting, moment: Any, years: int
) -> None:
    """The time is the learner's claim: that of the first, or any if the first was dated ahead."""
    course = sitting.course
    if years:  # and the second ahead, though less so
        ahead = sitting.desk(course, "ann", sitting.home)
        ahead.answer({FIRST: wrong(ahead, FIRST)}).hand_in(moment(8).replace(year=2022 + years))
        assert collecting.collect(course, WORKSHEET) == []
        marker.mark(course, WORKSHEET)
    returning.feedback(course, WORKSHEET)
    (told,) = (row for row in read_records(course.workspace) if row.learner == "ann")
    write_json(
        course.workspace / RECORDS,
        {"format": FORMAT, "records": [asdict(told) | {"at": "2021-03-05T00:00:00+00:00"}]},
    )
    again = sitting.desk(course, "ann", sitting.home)
    again.answer().hand_in(moment(8).replace(year=2021 + years))
    assert collecting.collect(course, WORKSHEET) == []
    let_the_last_count(course)
    one = stands(sitting)
    assert (one.state, one.told_before) == ("missed", True)


def test_the_page_of_the_worksheet_tells_that_a_retake_was_missed_so_it_is_not_passed_anew(
    sitting: Sitting, moment: Any
) -> None:
    workspace = sitting.course.workspace
    talk(workspace, KEY, "ann", reason="other", by="Eva")
    made = retake(workspace, KEY, "ann", by="Eva")
    at = answer(sitting, made.handout, made.worksheet, right=False, hour=moment(9))
    returning.feedback(sitting.course, WORKSHEET)
    page = sitting.course.feedback("ann", WORKSHEET).read_text(encoding="utf-8")
    assert "missed at the retake as well" in page.lower()
    at.answer().hand_in(moment(10))
    assert collecting.collect(sitting.course, made.worksheet) == []
    marker.mark(sitting.course, made.worksheet)
    assert (stands(sitting).state, stands(sitting).told_before) == ("missed again", True)


def test_two_learners_have_the_same_retake_each_with_cases_of_their_own(
    sitting: Sitting, moment: Any
) -> None:
    workspace = sitting.course.workspace
    both_missed(sitting, moment)
    made = {}
    for learner in ("ann", "ben"):
        talk(workspace, KEY, learner, reason="other", by="Eva")
        made[learner] = retake(workspace, KEY, learner, by="Eva")
    with pytest.raises(ValueError, match="was made for somebody else than “ben”"):
        open_released(sitting.home / "ben", made["ann"].handout)
    answer(sitting, made["ann"].handout, made["ann"].worksheet, right=False, hour=moment(10))
    answer(
        sitting, made["ben"].handout, made["ben"].worksheet, right=True, hour=moment(11), who="ben"
    )
    assert stands(sitting, "ann").state == "missed again"
    assert stands(sitting, "ben").in_words == "passed at attempt 2"


def test_a_retake_counts_that_was_handed_out_to_this_learner_and_no_other(
    sitting: Sitting, moment: Any
) -> None:
    course = sitting.course
    both_missed(sitting, moment)
    for learner in ("ben", "ann"):
        talk(course.workspace, KEY, learner, reason="other", by="Eva")
        made = retake(course.workspace, KEY, learner, by="Eva")
    with zipfile.ZipFile(made.handout) as archive:
        archive.extractall(sitting.home / "ben")  # past what opening refuses

    class Again(sitting.desk):
        WORKSHEET = made.worksheet

    Again(course, "ben", sitting.home).answer().hand_in()
    assert collecting.collect(course, made.worksheet) == []
    marker.mark(course, made.worksheet)
    assert [one.number for one in stands(sitting, "ben").attempts] == [1]
    assert stands(sitting, "ben").state == "handed out"


def test_where_no_case_is_left_the_educator_decides_and_before_that_not(
    sitting: Sitting, monkeypatch: pytest.MonkeyPatch
) -> None:
    workspace = sitting.course.workspace
    talk(workspace, KEY, "ann", reason="other", by="Eva")
    with pytest.raises(CourseError, match="Hand out a retake"):
        decide(workspace, KEY, "ann", passed=True, by="Eva")
    every = {one.key for one in PRINCIPLES[KEY].vignettes}
    monkeypatch.setattr(retaking, "seen", lambda *_, **__: every)
    with pytest.raises(CourseError, match="no retake of “cannot-size” can be made for “ann”"):
        retake(workspace, KEY, "ann")
    assert decide(workspace, KEY, "ann", passed=True, by="Eva").standing.passed


def test_a_parallel_form_asks_principles_for_points_alone_and_its_cases_are_seen(
    sitting: Sitting, copy_course: Any, tmp_path: Path
) -> None:
    form = copy_course(tmp_path / "again", ["ann"])
    before = retaking.seen(sitting.course, KEY, "ann")
    for folder, named in (
        (form.workspace, {"first": "../w"}),
        (tmp_path / "w", {"form": "../again"}),
    ):
        write_json(folder / parallel.FILE, {"format": parallel.FORMAT} | named)
    assert standings(form.workspace, WORKSHEET) == ()
    with pytest.raises(CourseError, match="principles give points alone: name the first folder"):
        talk(form.workspace, KEY, "ann", reason="other")
    there = retaking.seen(Course(form.workspace), KEY, "ann")
    assert retaking.seen(sitting.course, KEY, "ann") == before | there


def test_nothing_is_recorded_of_a_day_to_come_or_before_the_hand_in(sitting: Sitting) -> None:
    for day, why in (
        (date(9999, 1, 1), "9999-01-01 is still to come"),
        (date(2021, 3, 1), "2021-03-01 is before attempt 1 was handed in, on 2021-03-0"),
    ):
        with pytest.raises(CourseError, match=why):
            talk(sitting.course.workspace, KEY, "ann", reason="other", on=day)
    assert read_records(sitting.course.workspace) == []


def test_made_again_it_is_the_same_paper_and_tells_no_key(sitting: Sitting) -> None:
    workspace = sitting.course.workspace
    talk(workspace, KEY, "ann", reason="other", by="Eva")
    first = retake(workspace, KEY, "ann").handout.read_bytes()
    made = retake(workspace, KEY, "ann")
    assert made.handout.read_bytes() == first
    assert [row.kind for row in read_records(workspace)] == ["told", "talk", "retake"]
    with zipfile.ZipFile(made.handout) as archive:
        text = "".join(archive.read(name).decode() for name in archive.namelist())
    for vignette in PRINCIPLES[KEY].vignettes:
        assert vignette.because not in text
        assert all(way.misconception not in text for way in vignette.ways if way.misconception)
    papers = read_papers(sitting.course.source(made.worksheet))
    assert papers is not None
    assert len(papers.seats) == 1


def test_nobody_and_nothing_unknown_is_recorded(sitting: Sitting) -> None:
    workspace = sitting.course.workspace
    with pytest.raises(CourseError, match="there is no principle “nerves”; there are: nerve"):
        talk(workspace, "nerves", "ann", reason="other")
    with pytest.raises(CourseError, match="“zed” is not on the roster"):
        talk(workspace, KEY, "zed", reason="other")
    with pytest.raises(CourseError, match="is not released yet"):
        talk(workspace, "nerve", "ann", reason="other")
    with pytest.raises(CourseError, match="“ben” stands thus on “cannot-size”: passed"):
        talk(workspace, KEY, "ben", reason="other")
    assert read_records(workspace) == []


def test_the_home_of_each_principle_is_known() -> None:
    homes = {key: home_of(key) for key in PRINCIPLES}
    assert homes["nerve"] == homes["leak"] == "complications"
    assert homes["pulse"] == homes["infection"] == "one-patient"
    assert homes[KEY] == WORKSHEET
