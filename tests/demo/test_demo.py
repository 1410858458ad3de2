"""The demo's marks equal what the play put in; twice in one folder harms nothing."""

import csv
import re
from dataclasses import replace

import pytest

from cubital import cli
from cubital.demo import play, run
from cubital.demo.run import compare
from cubital.handin.released.papers import seated
from cubital.handin.released.release import new_release
from cubital.handin.released.sealed import made
from cubital.handin.results import ItemResult, SubmissionResult
from cubital.marking.cohort.course import Course
from cubital.marking.marks import gradebook

RELEASE = new_release("demo-autumn", "catheter-sizing")
SEATING = seated("a seed", [names[0] for names in play.names(24)])
PAPERS = made(RELEASE, RELEASE.listed(), secret="a secret", seating=SEATING)


@pytest.fixture(scope="module")
def played(tmp_path_factory):
    """A small demo, played twice in the same folder."""
    workspace = tmp_path_factory.mktemp("demo") / "workspace"
    assert run(workspace, learners=6).differences == ()
    first = (workspace / "report" / "catheter-sizing" / "marks.csv").read_text(encoding="utf-8-sig")
    assert run(workspace, learners=6).differences == ()
    second = (workspace / "report" / "catheter-sizing" / "marks.csv").read_text(
        encoding="utf-8-sig"
    )
    return workspace, first, second


def test_every_trouble_is_played_and_named_in_the_report(played):
    workspace, _, _ = played
    states = {r.learner: r.state for r in gradebook.results(Course(workspace), "catheter-sizing")}
    assert sorted(states.values()) == [
        "held",
        "marked",
        "marked",
        "marked",
        "missing",
        "unreadable",
    ]
    page = (workspace / "report" / "catheter-sizing" / "index.html").read_text(encoding="utf-8")
    for words in ("is not whole", "were saved by", "Nothing was handed in", "Invented"):
        assert words in page, words


def test_a_second_play_in_the_same_folder_gives_the_same_marks(played):
    _, first, second = played
    marks = []
    for text in (first, second):
        rows = [*csv.DictReader(re.sub(r"\d{4}-\d{2}-\d{2}[^\"]*", "", text).splitlines())]
        for row in rows:  # who hands in again has one hand-in more
            del row["hand_ins"], row["which_counts"]
        marks.append(rows)
    assert marks[0] == marks[1] != []


def test_nothing_is_written_outside_the_workspace(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    home = tmp_path / "home"
    home.mkdir()
    for variable in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.setenv(variable, str(home))
    assert run(tmp_path / "workspace", learners=1).differences == ()
    left = {path.relative_to(tmp_path).parts[0] for path in tmp_path.rglob("*")}
    assert left <= {"workspace", "home"}
    # IPython and Jupyter keep settings of their own in the home folder; we keep nothing there.
    assert not [p for p in home.rglob("*") if "cubital" in str(p.relative_to(home)).lower()]


def test_a_folder_with_other_things_is_left_alone(tmp_path, capsys):
    (tmp_path / "letters.txt").write_text("dear")
    assert cli.main(["demo", "--workspace", str(tmp_path)]) == 1
    assert "holds something other than a demo" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["letters.txt"]


@pytest.mark.parametrize("learners", [0, -3, 10_000])
def test_an_impossible_number_of_learners_is_refused_with_the_range(tmp_path, learners):
    with pytest.raises(ValueError, match=rf"number of learners is {learners}: it must be from 1"):
        run(tmp_path / "new", learners=learners)
    assert not (tmp_path / "new").exists()


def test_the_same_seed_plays_the_same_and_another_does_not():
    assert play.cast(PAPERS, 24, 1) == play.cast(PAPERS, 24, 1)
    assert play.cast(PAPERS, 24, 1) != play.cast(PAPERS, 24, 2)


@pytest.mark.parametrize("seed", range(10))
def test_a_cohort_has_learners_who_slip_stop_half_way_and_do_well(seed):
    parts = play.cast(PAPERS, 24, seed)
    assert len({part.learner for part in parts}) == 24
    assert [p.arrives for p in parts].count(play.STANDARD) == 21
    outcomes = [act.outcome for part in parts for act in part.acts]
    assert {"right", "slip", "wrong", "blank", "waiting"} <= set(outcomes)
    assert outcomes.count("right") > outcomes.count("slip")


def _marked(part):
    rows = tuple(
        ItemResult(
            a.item,
            a.outcome,
            a.points,
            RELEASE.items[a.item].points,
            "",
            slip=a.slip,
            confidence=a.confidence,
        )
        for a in part.acts
    )
    return SubmissionResult(part.learner, "catheter-sizing", "demo", "marked", items=rows)


def test_one_mark_that_differs_fails_the_demo():
    (part,) = play.cast(PAPERS, 1, 1)
    result = _marked(part)
    assert compare([part], [result]) == []
    first = result.items[0]
    worse = replace(first, points=(first.points or 0) + 1)
    assert len(compare([part], [replace(result, items=(worse, *result.items[1:]))])) == 1
    other = replace(first, slip="another-slip")
    assert len(compare([part], [replace(result, items=(other, *result.items[1:]))])) == 1
    assert len(compare([part], [replace(result, items=result.items[1:])])) == 1
    assert len(compare([part], [replace(result, state="held")])) == 1
    assert len(compare([part], [])) == 1
