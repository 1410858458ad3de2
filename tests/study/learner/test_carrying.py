"""One file of all that a learner has: taken over elsewhere, merged, and cleared here."""

import io
import os
import zipfile
from datetime import UTC, datetime

import pytest

from cubital.handin.answers import read_answers
from cubital.handin.progress import keep_progress, read_progress
from cubital.refresh.reviews import add_review, read_reviews
from cubital.study import folders
from cubital.study.learner import carrying, people
from cubital.study.learner.finishing import Finish
from cubital.study.learner.pages import lay_out_finish, lay_out_welcome
from cubital.study.learner.welcome import Welcome
from cubital.worksheet.sitting import sitting

SHEET = "catheter-sizing"


@pytest.fixture
def two(tmp_path):
    """One learner on two computers, with the same practice begun."""
    one = people.begin(tmp_path / "one", "Maria Schmidt").folder
    folders.lay_out_course(one)
    other = carrying.take_over(tmp_path / "two", carrying.packed(one)).folder
    return one, other


def work(folder, lesson, ratio, review):
    keep_progress(folder / folders.LESSONS, finished=lesson)
    sitting(folder / SHEET).store.save(
        "sizing-ratio", ratio, now=datetime(2027, 3, int(ratio[0]), tzinfo=UTC)
    )
    told = {"objective": "o", "item": "i", "outcome": "right", "rating": "good"}
    add_review(folder, folder.name, review=review, at=datetime(2027, 3, 1, tzinfo=UTC), **told)


def state(folder):
    return (
        read_progress(folder / folders.LESSONS).finished.keys(),
        read_answers(folder / SHEET).items,
        {one.id for one in read_reviews(folder, folder.name).reviews},
    )


def test_two_computers_that_take_over_from_each_other_come_to_the_same(two):
    one, other = two
    assert one.name == other.name == "maria-schmidt"
    work(one, "10-light-and-depth", "34 %", "a")
    work(other, "20-focal-geometry", "45 %", "b")
    files = carrying.packed(one), carrying.packed(other)
    carrying.take_over(other.parent, files[0])
    carrying.take_over(one.parent, files[1])
    carrying.take_over(one.parent, files[1])
    assert state(one) == state(other)
    finished, items, reviews = state(one)
    assert finished == {"10-light-and-depth", "20-focal-geometry"}
    assert [row.answer["number"] for row in items["sizing-ratio"]] == [0.34, 0.45]
    assert reviews == {"a", "b"}


def test_a_practice_begun_apart_is_kept_beside_the_one_answered_last(tmp_path, two):
    one, _ = two
    apart = people.begin(tmp_path / "three", "Maria Schmidt").folder
    folders.lay_out_course(apart)
    work(one, "10-light-and-depth", "34 %", "a")
    work(apart, "10-light-and-depth", "45 %", "a")
    files = carrying.packed(one), carrying.packed(apart)
    carrying.take_over(apart.parent, files[0])
    carrying.take_over(one.parent, files[1])
    for folder in (one, apart):
        (row,) = read_answers(folder / SHEET).items["sizing-ratio"]
        assert row.answer["number"] == 0.45
    (kept,) = (one / folders.KEPT).glob(f"{SHEET}-*")
    assert read_answers(kept).last("sizing-ratio").answer["number"] == 0.34


def test_nothing_is_written_outside_the_folder_and_a_strange_file_is_refused(tmp_path, two):
    data = io.BytesIO(carrying.packed(two[0]))
    with zipfile.ZipFile(data, "a") as archive:
        for name in ("../../out.txt", f"{SHEET}/../../out.txt", "last-learner.txt", ".lab/x"):
            archive.writestr(name, "x")
    workspace = tmp_path / "a" / "b" / "four"
    carrying.take_over(workspace, data.getvalue())
    assert not list(tmp_path.rglob("out.txt"))
    assert {path.name for path in workspace.iterdir()} == {"maria-schmidt"}
    empty = io.BytesIO()
    zipfile.ZipFile(empty, "w").close()
    with pytest.raises(ValueError, match="not a file that “Finish here” made"):
        carrying.take_over(workspace, empty.getvalue())


def answered(folder):
    return sorted(read_answers(folder).items)


def test_of_a_practice_that_is_kept_on_both_computers_all_answers_stay(tmp_path, two):
    one, other = two
    later = people.begin(tmp_path / "three", "Maria Schmidt").folder
    folders.lay_out_course(later)
    work(one, "10-light-and-depth", "34 %", "a")
    sitting(later / SHEET).store.save("sizing-ratio", "45 %", now=datetime(2027, 4, 1, tzinfo=UTC))
    carrying.take_over(other.parent, carrying.packed(one))
    for folder, item, words in ((one, "sizing-french", "4 Fr"), (other, "sizing-ratio", "20 %")):
        sitting(folder / SHEET).store.save(item, words, now=datetime(2027, 3, 20, tzinfo=UTC))
    begun = carrying.packed(one)
    for folder in (one, other):
        carrying.take_over(folder.parent, carrying.packed(later))
    carrying.take_over(other.parent, carrying.packed(one))  # kept there, and kept here
    (kept,) = (other / folders.KEPT).glob(f"{SHEET}-*")
    assert answered(kept) == ["sizing-french", "sizing-ratio"]
    assert len(read_answers(kept).items["sizing-ratio"]) == 2
    carrying.take_over(later.parent, begun)
    carrying.take_over(later.parent, carrying.packed(other))
    (kept,) = (later / folders.KEPT).glob(f"{SHEET}-*")
    assert len(read_answers(kept).items["sizing-ratio"]) == 2


def test_of_two_answers_within_a_second_the_later_counts_however_often_a_file_is_taken_over(two):
    one, _ = two
    now = datetime(2027, 3, 1, tzinfo=UTC)
    store = sitting(one / SHEET).store
    for words in ("45 %", "34 %"):
        store.save("sizing-ratio", words, now=now)
    store.save("sizing-french", "4 Fr", now=now)
    store.save("sizing-french", "4 Fr", confidence=0.75, now=now)
    before = read_answers(one / SHEET)
    carrying.take_over(one.parent, carrying.packed(one))
    assert read_answers(one / SHEET) == before


def test_an_answer_that_came_after_the_clock_was_set_back_stays_the_last(two):
    one, other = two
    store = sitting(one / SHEET).store
    for words, day in (("45 %", 20), ("34 %", 2), ("36 %", 3)):
        store.save("sizing-ratio", words, now=datetime(2027, 3, day, tzinfo=UTC))
    work(other, "10-light-and-depth", "5 %", "a")
    before = read_answers(one / SHEET)
    carrying.take_over(one.parent, carrying.packed(one))
    assert read_answers(one / SHEET) == before
    files = carrying.packed(one), carrying.packed(other)
    carrying.take_over(one.parent, files[1])
    carrying.take_over(other.parent, files[0])
    for folder in two:
        rows = read_answers(folder / SHEET).items["sizing-ratio"]
        assert [row.answer["number"] for row in rows] == [0.05, 0.45, 0.34, 0.36]


@pytest.mark.parametrize("seconds", [0, 5_000_000_000])  # 1970 and 2128: no zip has such a date
def test_a_file_is_made_whatever_the_computers_clock_said(two, seconds):
    one, other = two
    work(one, "10-light-and-depth", "34 %", "a")
    os.utime(one / SHEET / "answers.json", (seconds, seconds))
    carrying.take_over(other.parent, carrying.packed(one))
    assert read_answers(other / SHEET) == read_answers(one / SHEET)


def test_a_retake_is_taken_over(tmp_path, two):
    one, _ = two
    work(one, "10-light-and-depth", "34 %", "a")
    (one / SHEET).rename(one / "retake-nerve-2")
    there = carrying.take_over(tmp_path / "new", carrying.packed(one)).folder
    assert answered(there / "retake-nerve-2") == ["sizing-ratio"]


def changed(data, name, old, new):
    """Return a zip in one of whose files some words were put in the place of others."""
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as archive, zipfile.ZipFile(made, "w") as other:
        for entry in archive.infolist():
            held = archive.read(entry)
            if entry.filename == name:
                assert old in held
                held = held.replace(old, new)
            other.writestr(entry.filename, held)
    return made.getvalue()


BROKEN = {
    "a log that is cut off": ("refresh.json", b"}", b"", "not whole"),
    "a log of somebody else": ("refresh.json", b"maria-schmidt", b"ben", "is of learner “ben”"),
    "answers of somebody else": (
        f"{SHEET}/answers.json",
        b"maria-schmidt",
        b"ben",
        "are of learner “ben”",
    ),
    "a release that leads elsewhere": (
        f"{SHEET}/release.json",
        b'"practice-',
        b'"x/../../../../out-',
        "no name of a release",
    ),
}


@pytest.mark.parametrize("broken", BROKEN.values(), ids=BROKEN)
def test_of_a_file_with_anything_broken_nothing_is_taken(tmp_path, two, broken):
    one, _ = two
    name, old, new, told = broken
    work(one, "10-light-and-depth", "34 %", "a")
    data = changed(carrying.packed(one), name, old, new)
    fresh = people.begin(tmp_path / "in" / "three", "Maria Schmidt").folder
    folders.lay_out_course(fresh)
    for workspace in (fresh.parent, tmp_path / "in" / "four"):
        before = sorted((path, path.stat().st_mtime_ns) for path in tmp_path.rglob("*"))
        with pytest.raises(ValueError, match=told):
            carrying.take_over(workspace, data)
        assert sorted((path, path.stat().st_mtime_ns) for path in tmp_path.rglob("*")) == before


def test_a_file_that_unpacks_to_more_than_anybody_has_is_refused(tmp_path, two, monkeypatch):
    monkeypatch.setattr(carrying, "_MOST_BYTES", 10_000)
    with pytest.raises(ValueError, match="more than are taken"):
        carrying.take_over(tmp_path / "four", carrying.packed(two[0]))


def press(form, name, value=True):
    form._handle_custom_msg({"name": name, "value": value}, [])


def test_finishing_gives_the_file_asks_and_leaves_nothing_of_this_learner_alone(
    tmp_path, monkeypatch
):
    maria, ada = (people.begin(tmp_path, name).folder for name in ("Maria Schmidt", "Ada"))
    for folder in (maria, ada):
        folders.lay_out_lesson(folder, "10-light-and-depth")
        folders.remember_learner(tmp_path, folder.name)
    folders.remember_learner(tmp_path, "maria-schmidt")
    page = lay_out_finish(maria)
    welcome = lay_out_welcome(tmp_path)
    monkeypatch.chdir(page.parent)
    form = Finish()
    press(form, "clear")
    assert maria.is_dir()
    press(form, "make")
    assert carrying.owner(form.file) == ("maria-schmidt", "Maria Schmidt")
    press(form, "clear")  # it was not asked yet
    assert maria.is_dir()
    press(form, "ask")
    keep_progress(maria / folders.LESSONS, finished="10-light-and-depth")
    press(form, "clear")
    assert "made again: save it again" in form.fault
    press(form, "ask")
    press(form, "clear")
    assert not maria.exists()
    assert ada.is_dir()
    assert folders.remembered_learner(tmp_path) is None
    assert (page.parent / form.goes_to).resolve() == welcome
    asked = Welcome(welcome.parent)
    assert "✓ Nothing of Maria Schmidt is left on this computer." in asked.words()
    assert [one.name for one in people.people(tmp_path)] == ["Ada"]


@pytest.mark.parametrize(
    ("name", "folder"),
    [
        ("Maria Schmidt", "maria-schmidt"),
        ("  maria   SCHMIDT ", "maria-schmidt"),
        ("Œuvre Ł", "oeuvre-l"),
    ],
)
def test_a_name_makes_a_folder_and_typed_again_finds_it(tmp_path, name, folder):
    one = people.begin(tmp_path, name)
    assert one.id == folder
    folders.lay_out_lesson(one.folder, "10-light-and-depth")
    assert people.begin(tmp_path, name).folder == one.folder


def test_names_that_make_the_same_id_have_folders_of_their_own(tmp_path):
    names = ("Ann-Lee", "Ann Lee", "李小明", "王芳", "con")
    found = []
    for name in names:
        one = people.begin(tmp_path, name)
        folders.lay_out_lesson(one.folder, "10-light-and-depth")
        found.append(one.id)
    assert found[:2] == ["ann-lee", "ann-lee-2"]
    assert len({*found}) == len(names)
    with pytest.raises(ValueError, match="no name is written yet"):
        people.begin(tmp_path, "  ")


ENTERED = {
    "an answer": lambda folder: sitting(folder / SHEET).store.save(
        "sizing-ratio", "34 %", now=datetime(2027, 3, 1, tzinfo=UTC)
    ),
    "a lesson finished": lambda folder: keep_progress(
        folder / folders.LESSONS, finished="10-light-and-depth"
    ),
    "a question refreshed": lambda folder: add_review(
        folder,
        folder.name,
        review="a",
        at=datetime(2027, 3, 1, tzinfo=UTC),
        objective="o",
        item="i",
        outcome="right",
        rating="good",
    ),
}


@pytest.mark.parametrize("enter", ENTERED.values(), ids=ENTERED)
def test_what_was_entered_since_the_file_was_made_is_told_of(two, enter):
    one, other = two
    assert carrying.is_in_file(one)
    assert carrying.is_in_file(other)
    enter(one)
    assert not carrying.is_in_file(one)
    carrying.note_file(one)
    assert carrying.is_in_file(one)
    keep_progress(one / folders.LESSONS, page="lessons/20-focal-geometry.ipynb")
    assert carrying.is_in_file(one)  # which page was opened is nobody's loss


def test_all_on_a_new_computer_came_out_of_the_file_and_what_is_merged_did_not(two, tmp_path):
    one, other = two
    ENTERED["an answer"](one)
    data = carrying.packed(one)
    new = carrying.take_over(tmp_path / "new", data).folder
    assert carrying.is_in_file(new)
    carrying.take_over(other.parent, data)
    assert not carrying.is_in_file(other)
