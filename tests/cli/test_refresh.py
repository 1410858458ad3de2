"""The command that refreshes: what it lists, merges and says; the browser is tested elsewhere."""

import shutil
from datetime import UTC, datetime

import pytest

from cubital import cli
from cubital.refresh.reviews import FILE, add_review, objective_of, read_reviews
from cubital.study import refreshing
from cubital.tables.course import with_worksheets

LEARNER = "ada.alder"


@pytest.fixture
def run(tmp_path, capsys):
    """Run the command for one learner; the exit code, and what it said and complained of."""

    def command(*words):
        common = ["--learner", LEARNER, "--workspace", str(tmp_path)]
        code = cli.main(["refresh", *map(str, words), *common])
        said = capsys.readouterr()
        return code, said.out, said.err

    return command


def refreshed(folder, item, session="s1"):
    add_review(
        folder,
        LEARNER,
        review=f"{session}/{item}",
        objective=objective_of(item),
        item=item,
        outcome="slip",
        rating="again",
        at=datetime.now(UTC),
    )


def test_due_lists_every_lesson_with_its_next_day_and_makes_nothing(run, tmp_path):
    code, said, _ = run("--due")
    assert code == 0
    assert said.splitlines()[0].split("  ")[0] == "Lesson"
    assert len(said.partition("\n\n")[0].splitlines()) == 1 + len(with_worksheets())
    assert "nothing on competence" in said
    assert list(tmp_path.iterdir()) == []
    refreshed(tmp_path / LEARNER, "sizing-bore-flow")
    (line,) = (line for line in run("--due")[1].splitlines() if line.startswith("Catheter sizing"))
    assert line.split()[2:4] == ["0", "1"]
    assert line.split()[-1].startswith("20")


def test_a_session_takes_time_also_where_only_the_list_is_asked_for(run):
    for words in (("--minutes", "-3", "--due"), ("--minutes", "0")):
        code, said, complaint = run(*words)
        assert (code, said) == (1, "")
        assert "a session takes more than 0 minutes" in complaint


def test_merging_takes_over_what_is_new_once(run, tmp_path):
    here, there = tmp_path / LEARNER, tmp_path / "other"
    refreshed(here, "sizing-bore-flow")
    refreshed(there, "sizing-bore-flow")
    refreshed(there, "reach-room")
    assert run("--merge", there / FILE)[:2] == (
        0,
        "1 reviews taken over for ada.alder; none are counted twice.\n",
    )
    assert run("--merge", there / FILE)[1].startswith("0 reviews")
    assert {one.item for one in read_reviews(here, LEARNER).reviews} == {
        "sizing-bore-flow",
        "reach-room",
    }


def test_a_broken_log_is_refused_with_what_to_do(run, tmp_path):
    refreshed(tmp_path / LEARNER, "sizing-bore-flow")
    log = tmp_path / LEARNER / FILE
    kept = tmp_path / "kept.json"
    shutil.copy(log, kept)
    log.write_bytes(log.read_bytes()[:-9])
    broken = log.read_bytes()
    for words in ((), ("--due",), ("--merge", kept)):
        code, _, complaint = run(*words)
        assert code == 1
        assert "move it away to start afresh" in complaint
        assert log.read_bytes() == broken


def test_when_nothing_is_due_it_says_so_and_opens_nothing(run, tmp_path):
    for one in refreshing.learners_standings(tmp_path, LEARNER, datetime.now(UTC)):
        refreshed(tmp_path / LEARNER, next(i for i in one.objective.items))
    code, said, _ = run()
    assert code == 0
    assert said.startswith("Nothing is due for ada.alder today.")
    assert not (tmp_path / LEARNER / "refresh").exists()


def test_a_file_that_is_not_there_is_named(run, tmp_path):
    code, _, complaint = run("--merge", tmp_path / "nowhere.json")
    assert code == 1
    assert "nowhere.json cannot be merged: there is no such file. Nothing was changed" in complaint
    assert "Errno" not in complaint
    assert not (tmp_path / LEARNER).exists()


def test_a_file_of_something_else_is_named_with_what_to_give_instead(run, tmp_path):
    other = tmp_path / "other.json"
    other.write_text("{}", encoding="utf-8")
    code, _, complaint = run("--merge", other)
    assert code == 1
    assert (
        "other.json cannot be merged: it is not the log that the course keeps of refreshing"
        in complaint
    )
    assert "Name the refresh.json that lies in your folder on the other computer" in complaint


def test_another_learners_reviews_are_refused_before_anything_is_made(run, tmp_path):
    add_review(
        tmp_path / "bo.birch",
        "bo.birch",
        review="s1/x",
        objective=objective_of("reach-room"),
        item="reach-room",
        outcome="right",
        rating="good",
        at=datetime.now(UTC),
    )
    code, _, complaint = run("--merge", tmp_path / "bo.birch" / FILE)
    assert code == 1
    assert "holds the reviews of learner “bo.birch”, and you are “ada.alder”" in complaint
    assert not (tmp_path / LEARNER).exists()


@pytest.mark.parametrize("words", [(), ("--due",)], ids=["alone", "with --due"])
def test_a_session_of_less_than_no_time_is_refused(run, words):
    code, said, complaint = run(*words, "--minutes", "-3")
    assert (code, said) == (1, "")
    assert "a session takes more than 0 minutes, not -3" in complaint
