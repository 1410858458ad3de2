"""All worksheets on one page: nobody without a state, no zero that is none, links that lead."""

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from cubital import cli
from cubital.handin import passing
from cubital.handin.objectives import objectives_of
from cubital.handin.results import ItemResult
from cubital.handin.standard import Standard
from cubital.marking.cohort import collecting, releasing
from cubital.marking.feedback import returning
from cubital.marking.marks import marker
from cubital.records import overview
from cubital.tables import curriculum

SIZING, LIGHT = "catheter-sizing", "light-and-depth"


def words(page: str) -> str:
    page = re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def cells(page: str, learner: str) -> list[str]:
    """The words of one learner's row, a text a worksheet."""
    row = next(r for r in re.findall(r"<tr>.*?</tr>", page, re.DOTALL) if f">{learner}<" in r)
    found = re.findall(r'<td class="[^"]*"><span class="where".*?</span>(.*?)</td>', row, re.DOTALL)
    return [words(cell) for cell in found[:-1]]


def decided(page: str, learner: str) -> str:
    """What the last column of one learner's row says that the course decides."""
    row = next(r for r in re.findall(r"<tr>.*?</tr>", page, re.DOTALL) if f">{learner}<" in r)
    return words(row.rpartition("<td ")[2].partition(">")[2]).removeprefix("The course ")


@pytest.fixture
def drawn(row, all_right, sheet, unmarked, made_at):
    """Render an overview of one worksheet with a learner of every sort, and one without any."""
    results = [
        sheet("whole", all_right()),
        sheet(
            "open",
            all_right(
                sizing_reasons=row("sizing-reasons", None, full=3.0),
                sizing_french=row("sizing-french", 0.0, "refused", message="A copy."),
                cannot_size_first=row("cannot-size-first", 0.0, "slip", slip="zoom-in"),
            ),
        ),
        sheet("none", [row(one.item, 0.0, full=one.max_points) for one in all_right()]),
        *(unmarked(state, state, "why") for state in ("held", "unreadable", "system_error")),
    ]
    asked = tuple(one.item for one in all_right())
    first = overview.Sheet(
        SIZING,
        "spring",
        results,
        objectives_of(curriculum(), asked),
        f"{SIZING}/index.html",
        {"whole": "../feedback/whole/page.html"},
    )
    other = overview.Sheet(LIGHT, "<b>1</b>", [])
    names = {one.learner: "" for one in results} | {"absent": "<b>Ab</b>"}
    return overview.render([first, other], names=names, made_at=made_at)


def test_every_learner_has_a_state_in_every_worksheet(drawn):
    assert cells(drawn, "whole") == ["33 of 33 6 of 6 objectives shown", "not handed in"]
    said = "26 of 33 so far 1 to mark by hand 1 refused 1 critical wrong 3 of 6 objectives shown"
    assert cells(drawn, "open") == [said, "not handed in"]
    assert cells(drawn, "none")[0].startswith("0 of 33")
    for state in ("held", "unreadable", "system_error"):
        assert cells(drawn, state) == [state.replace("_", " "), "not handed in"]
    assert cells(drawn, "absent") == ["not handed in", "not handed in"]


def test_the_course_is_open_until_all_its_worksheets_are_marked(drawn):
    assert decided(drawn, "whole").startswith("no decision nothing says what passes")


def test_the_course_decides_by_all_worksheets_and_one_decides_nothing(sheet, made_at):
    # 9 worksheets of 7 questions of 2 points, half of which pass: 63 of 126. The error there, by
    # hand, is the square root of 63 x 2^2 x 0.25, 7.9.
    half = Standard(7, 14, 4, worth=(2.0,) * 7)
    points = {"strong": 14, "weak": 6, "near": 7}
    made = [
        overview.Sheet(
            name,
            "spring",
            [
                replace(sheet(who, [ItemResult("a", "right", of, 14, "")]), worksheet=name)
                for who, of in points.items()
            ],
            standard=half,
        )
        for name in passing.required()
    ]
    page = overview.render(made, names=dict.fromkeys(points, ""), made_at=made_at)
    assert decided(page, "strong") == "passed 126 of 126 points, 63.0 needed"
    assert decided(page, "weak") == "not passed yet 54 of 126 points, 63.0 needed"
    assert decided(page, "near").startswith("too near to decide: a parallel form 63 of 126 points")
    assert "decides nothing alone" in words(page)
    some = overview.render(made[:-1], names={"strong": ""}, made_at=made_at)
    told = "open 8 of 9 worksheets are marked; open: whole course"
    assert decided(some, "strong") == told


def test_no_report_and_no_page_is_linked_that_is_not_there(drawn):
    assert set(re.findall(r'href="([^"]*)"', drawn)) == {
        f"{SIZING}/index.html",
        "../feedback/whole/page.html",
    }
    assert "Light and depth no report yet" in words(drawn)
    assert "<b>" not in drawn
    assert "<script" not in drawn


def test_only_released_worksheets_are_on_the_page_and_all_links_lead_somewhere(
    copy_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann", "ben"])
    releasing.release(course, LIGHT, "spring-light")
    old = course.workspace / "report"
    old.mkdir()
    (old / "marks.csv").write_text("of one worksheet", encoding="utf-8")
    (old / "index.html").write_text("of one worksheet", encoding="utf-8")
    desk(course, "ann", tmp_path).answer().hand_in()
    assert collecting.collect(course, SIZING) == []
    marker.mark(course, SIZING)
    returning.feedback(course, SIZING)
    for worksheet in (SIZING, LIGHT):
        told = ["cohort", "report", worksheet, "--workspace", str(course.workspace)]
        assert cli.main(told) == 0
    files = sorted(str(p.relative_to(old)) for p in old.rglob("*") if p.is_file())
    assert files == [
        f"{SIZING}/index.html",
        f"{SIZING}/marks.csv",
        "index.html",
        f"{LIGHT}/index.html",
        f"{LIGHT}/marks.csv",
    ]
    page = (old / "index.html").read_text(encoding="utf-8")
    assert cells(page, "ann") == [
        "30 of 33 so far 1 to mark by hand 5 of 6 objectives shown",
        "not handed in",
    ]
    assert cells(page, "ben") == ["not handed in", "not handed in"]
    assert decided(page, "ben").startswith(
        "no decision the pass mark of the course comes from invented judges"
    )
    assert "readiness" not in page.lower()
    links = re.findall(r'href="([^"#]*)"', page)
    assert len(links) == 3
    for link in links:
        assert (old / link).resolve().is_file(), link


def test_a_worksheet_of_another_edition_does_not_stop_the_overview(
    copy_course: Any, desk: Any, tmp_path: Path
) -> None:
    course = copy_course(tmp_path / "w", ["ann"])
    releasing.release(course, LIGHT, "spring-light")
    path = course.source(LIGHT) / "release.json"
    told = json.loads(path.read_text(encoding="utf-8"))
    for item in told["items"].values():
        item["version"] += 90
    path.write_text(json.dumps(told), encoding="utf-8")
    assert cli.main(["cohort", "report", SIZING, "--workspace", str(course.workspace)]) == 0
    page = (course.workspace / "report" / "index.html").read_text(encoding="utf-8")
    assert cells(page, "ann") == ["not handed in", "not handed in"]


def test_names_of_many_with_one_reason_are_folded_and_printed(page, sheet, row, all_right):
    rows = all_right(sizing_reasons=row("sizing-reasons", None, full=3.0))
    few, many = (page([sheet(f"l{n}", rows) for n in range(count)]) for count in (7, 8))
    assert "<details>" not in few
    assert "<details><summary><strong>8 learners</strong></summary>" in many
    assert "details::details-content { content-visibility: visible" in many
