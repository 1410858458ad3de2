"""A cohort under a department's own figures, from release to report, and changed again after it."""

import csv
import io
import shutil

import pytest

from cubital import cli, tables
from cubital.marking.cohort import course as cohorts

from ...counted import computed_points

# Two worksheets that follow the figures, with their automatic points.
FULL = {name: computed_points(name) for name in ("focal-geometry", "whole-course")}
OWN = """[place]
department = "Ward 9"
hospital = "Harbour Hospital"
[device]
working_distance_mm = 250
[policy]
ratio_limit = 0.36
vesicants = ["phenytoin"]
"""
LATER = OWN.replace("250", "260").replace("0.36", "0.4").replace("Ward 9", "Ward 7")
# What the feedback page says by the department's figures, and what it would by those that ship.
SAID = {
    "focal-geometry": ("working distance of 250 mm",),
    "whole-course": ("ratio of 36 %", "phenytoin"),
}
SHIPPED = {"focal-geometry": "working distance of 220 mm", "whole-course": "ratio of 45 %"}


@pytest.fixture
def cohort(capsys):
    def give(*words):
        code = cli.main(["cohort", *map(str, words)])
        told = capsys.readouterr()
        return code, " ".join((told.out + told.err).split())

    return give


def table(course, worksheet):
    text = (course.workspace / "report" / worksheet / "marks.csv").read_text("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


@pytest.mark.long
@pytest.mark.parametrize("worksheet", FULL)
def test_a_cohort_is_asked_marked_and_told_by_the_departments_figures_to_the_end(  # noqa: PLR0917
    worksheet, desk, nbgrader, in_gradebook, tmp_path, cohort
):
    course = cohorts.create(tmp_path / "ours", [cohorts.Learner("ann", "Ann", "Moss")])
    figures = course.workspace / tables.PROFILE_FILE
    figures.write_text(OWN, encoding="utf-8")
    here = (worksheet, "--workspace", course.workspace)
    assert cohort("release", *here, "--name", "autumn-1")[0] == 0
    at = type("Desk", (desk,), {"WORKSHEET": worksheet})(course, "ann", tmp_path)
    at.answer().hand_in()
    assert cohort("collect", *here)[0] == 0
    shutil.copytree(course.workspace, tmp_path / "theirs")

    code, told = cohort("mark", *here)
    assert (code, "Changed in" in told) == (0, False)
    nbgrader(tmp_path / "theirs", "autograde", worksheet)
    points = in_gradebook(course, "ann", worksheet)
    assert points == in_gradebook(cohorts.Course(tmp_path / "theirs"), "ann", worksheet)
    assert sum(value or 0 for value in points.values()) == FULL[worksheet]

    assert cohort("feedback", *here)[0] == 0
    page = course.feedback("ann", worksheet).read_text(encoding="utf-8")
    assert all(words in page for words in SAID[worksheet])
    assert SHIPPED[worksheet] not in page
    assert cohort("report", *here)[0] == 0
    report = course.workspace / "report" / worksheet / "index.html"
    assert "Ward 9, Harbour Hospital" in report.read_text(encoding="utf-8")
    marks = table(course, worksheet)

    figures.write_text(LATER, encoding="utf-8")
    for step in ("mark", "report"):
        code, told = cohort(step, *here)
        assert code == 0
        assert "since release “autumn-1”, which stays as it was made:" in told
        assert "working_distance_mm is 260, not 250; ratio_limit is 0.4, not 0.36" in told
        assert "department is Ward 7, not Ward 9" in told
    assert table(course, worksheet) == marks
    assert in_gradebook(course, "ann", worksheet) == points
    assert "Ward 9, Harbour Hospital" in report.read_text(encoding="utf-8")
