"""What is changed after a release: README's words, walked by the command from release to report."""

import pytest

from cubital import cli, tables
from cubital.handin.released.release import read_release
from cubital.marking.cohort import course as cohorts
from cubital.marking.marks import gradebook

from ...recording import Told

WORKSHEET = "catheter-sizing"
OFF = "[items.sizing-area-share]\noff = true\n"


@pytest.fixture
def cohort(capsys):
    def give(*words):
        code = cli.main(["cohort", *map(str, words)])
        told = capsys.readouterr()
        return code, " ".join((told.out + told.err).split())

    return give


def test_the_next_release_follows_the_bank_and_a_release_with_hand_ins_stays(
    copy_course, desk, tmp_path, cohort, recorder
):
    course = copy_course(tmp_path / "spring", ["ann"])
    here = ("--workspace", course.workspace)
    (course.workspace / "bank.toml").write_text(OFF, encoding="utf-8")
    code, told = cohort("release", WORKSHEET, *here, "--name", "autumn-1")
    assert code == 1
    assert "choose another name. Changed since: “sizing-area-share” is off or gone." in told
    assert cohort("release", WORKSHEET, *here, "--name", "spring-1")[0] == 0
    assert "sizing-area-share" not in course.release(WORKSHEET).items

    desk(course, "ann", tmp_path).answer().hand_in()
    assert cohort("collect", WORKSHEET, *here)[0] == 0
    (course.workspace / "bank.toml").write_text(
        OFF + "[items.sizing-french]\npoints = 3\n[pass_share]\ncatheter-sizing = 0.5\n",
        encoding="utf-8",
    )
    (course.workspace / tables.PROFILE_FILE).write_text("[policy]\nratio_limit = 0.36\n")
    for name in ("spring-1", "spring-2"):
        code, told = cohort("release", WORKSHEET, *here, "--name", name)
        assert code == 1
        assert "release “spring-1” is answered already, by 1 learner (ann): its questions" in told
        assert "make a new workspace, copy bank.toml, items and local-profile.toml" in told
    for step in ("mark", "report"):
        code, told = cohort(step, WORKSHEET, *here)
        if step == "mark":
            (row,) = gradebook.results(course, WORKSHEET)
            recorder.saw(
                "the educator changes points, items and policy after the release was answered",
                Told("marked", 22),
                Told(row.state, row.points, told[told.index("since release") :]),
                most=22,
                honest=True,
            )
        assert code == 0
        assert "since release “spring-1”, which stays as it was made:" in told
        assert "“sizing-french” has 3 points, not 2; ratio_limit is 0.36, not 0.45." in told
        assert "make a new workspace, copy these files into it, and release there." in told
    marks = (course.workspace / "report" / WORKSHEET / "marks.csv").read_text(encoding="utf-8-sig")
    assert "sizing-area-share" not in marks

    new = cohorts.create(tmp_path / "summer", [cohorts.Learner("ann", "Ann", "Moss")])
    for name in ("bank.toml", tables.PROFILE_FILE):
        (new.workspace / name).write_bytes((course.workspace / name).read_bytes())
    there = ("--workspace", new.workspace)
    assert cohort("release", WORKSHEET, *there, "--name", "summer-1")[0] == 0
    released = read_release(new.released(WORKSHEET))
    assert (released.items["sizing-french"].points, released.policy["ratio_limit"]) == (3, 0.36)


def test_a_hand_in_in_the_inbox_keeps_its_release_before_it_is_collected(
    copy_course, desk, tampered, tmp_path, cohort
):
    course = copy_course(tmp_path / "spring", ["ann", "ben", "cy"])
    here = ("--workspace", course.workspace)
    (course.workspace / "bank.toml").write_text(OFF, encoding="utf-8")
    anew = ("release", WORKSHEET, *here, "--name", "autumn-2")
    keeps = "release “autumn-1” is answered already, by {} in the inbox, not collected yet): it"
    path = desk(course, "ann", tmp_path).answer().hand_in()
    code, told = cohort(*anew)
    assert (code, keeps.format("1 learner (ann; 1") in told) == (1, True)
    assert course.release(WORKSHEET).name == "autumn-1"
    # in a platform's folder; and one that arrived torn counts by its file's name
    path.rename((course.inbox / "Moss Ann_7_file").with_suffix(".zip"))
    torn = desk(course, "ben", tmp_path).answer().hand_in()
    torn.write_bytes(torn.read_bytes()[:900])
    assert keeps.format("2 learners (ann, ben; 2") in cohort(*anew)[1]
    torn.unlink()
    assert cohort("collect", WORKSHEET, *here)[0] == 0
    desk(course, "cy", tmp_path).answer().hand_in()
    code, told = cohort(*anew)
    assert (code, keeps.format("2 learners (ann, cy; 1") in told) == (1, True)


def test_a_hand_in_of_another_worksheet_or_release_in_the_inbox_keeps_none(
    copy_course, desk, tampered, tmp_path, cohort
):
    course = copy_course(tmp_path / "spring", ["ann", "ben"])
    (course.workspace / "bank.toml").write_text(OFF, encoding="utf-8")
    tampered(desk(course, "ann", tmp_path).answer().hand_in(), release="last-year")
    tampered(
        desk(course, "ben", tmp_path).answer().hand_in(),
        {f"{WORKSHEET}.ipynb": None},
        worksheet="readiness",
    )
    anew = ("release", WORKSHEET, "--workspace", course.workspace, "--name", "autumn-2")
    assert cohort(*anew)[0] == 0
    assert course.release(WORKSHEET).name == "autumn-2"


def test_nothing_is_said_where_nothing_was_changed(copy_course, desk, tmp_path, cohort):
    course = copy_course(tmp_path / "spring", ["ann"])
    desk(course, "ann", tmp_path).answer().hand_in()
    here = ("--workspace", course.workspace)
    assert cohort("collect", WORKSHEET, *here)[0] == 0
    assert "Changed in" not in cohort("mark", WORKSHEET, *here)[1]


def test_a_profile_that_cannot_be_stops_the_release_with_its_reason(copy_course, tmp_path, cohort):
    course = copy_course(tmp_path / "spring", ["ann"])
    path = course.workspace / tables.PROFILE_FILE
    path.write_text("[device]\nworking_distance_mm = 22\n", encoding="utf-8")
    code, told = cohort("release", WORKSHEET, "--workspace", course.workspace, "--name", "x")
    assert code == 1
    assert f"{path}: working_distance_mm is 22: the working distance must be from 120" in told
