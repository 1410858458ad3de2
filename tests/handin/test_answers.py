"""Answers are saved at once, never lost, never mixed between learners."""

import json
import os
import subprocess
import sys

import pytest

from cubital import items
from cubital.handin.answers import AnswerStore, BrokenAnswersError, OtherLearnerError, read_answers
from cubital.handin.released.release import new_release, read_release, write_release

RELEASE = new_release("autumn", "catheter-sizing")
FRENCH = items.find("sizing-french")
AREA = items.find("sizing-area-share")


def store(folder, learner="ada.alder", release=RELEASE):
    return AnswerStore(folder, release, learner)


def test_what_is_saved_is_there_for_the_next_process(tmp_path):
    store(tmp_path).save(FRENCH.id, "4.2 Fr")
    entry = store(tmp_path).read().last("sizing-french")
    assert entry.answer == {"number": 4.2, "typed": "4.2 Fr"}
    assert entry.values == RELEASE.values(FRENCH, "ada.alder")


def test_a_later_answer_counts_and_the_earlier_one_is_kept(tmp_path):
    here = store(tmp_path)
    here.save(FRENCH.id, "4.2 Fr")
    here.save(FRENCH.id, "4.5 Fr")
    assert here.read().last("sizing-french").answer["number"] == 4.5
    assert [e.answer["number"] for e in here.read().items["sizing-french"]] == [4.2, 4.5]


def test_a_refused_answer_changes_nothing(tmp_path):
    here = store(tmp_path)
    here.save(FRENCH.id, "4.2 Fr")
    before = (tmp_path / "answers.json").read_bytes()
    for typed in ("4.2 mL", "", "many", "0 Fr", "4.2"):
        with pytest.raises(ValueError, match=r"."):
            here.save(FRENCH.id, typed)
    assert (tmp_path / "answers.json").read_bytes() == before


@pytest.mark.parametrize(
    ("item", "typed", "where"),
    [
        ("sizing-reasons", "A band \ud83d and more", "after “A band ”"),
        ("sizing-reasons", "\udc00", "at the start"),
        ("sizing-french", "4.2 Fr\ud83d", "after “4.2 Fr”"),
    ],
)
def test_half_a_character_is_refused_in_a_sentence_that_says_where(tmp_path, item, typed, where):
    here = store(tmp_path)
    here.save(FRENCH.id, "4.2 Fr")
    before = (tmp_path / "answers.json").read_bytes()
    with pytest.raises(ValueError, match=f"half a character stands {where}.*type that") as refused:
        here.save(item, typed)
    assert not isinstance(refused.value, UnicodeError)
    str(refused.value).encode("utf-8")
    assert (tmp_path / "answers.json").read_bytes() == before


def test_two_windows_do_not_undo_each_other(tmp_path):
    first, second = store(tmp_path), store(tmp_path)
    first.read(), second.read()
    first.save(FRENCH.id, "4.2 Fr")
    second.save(AREA.id, "20 %")
    assert set(first.read().items) == {"sizing-french", "sizing-area-share"}


SAVE_MANY = """
import sys
from pathlib import Path
from cubital import items
from cubital.handin.answers import AnswerStore
from cubital.handin.released.release import new_release
folder, item, unit = sys.argv[1:]
store = AnswerStore(Path(folder), new_release("autumn", "catheter-sizing"), "ada.alder")
for number in range(1, 21):
    store.save(item, f"{number} {unit}")
"""


def test_processes_that_save_at_once_lose_nothing(tmp_path):
    writers = [
        subprocess.Popen([sys.executable, "-c", SAVE_MANY, str(tmp_path), item_id, unit])
        for item_id, unit in (("sizing-french", "Fr"), ("sizing-area-share", "%"))
    ]
    assert [writer.wait() for writer in writers] == [0, 0]
    saved = store(tmp_path).read()
    assert len(saved.items["sizing-french"]) == len(saved.items["sizing-area-share"]) == 20


def test_another_learners_folder_is_neither_read_nor_written(tmp_path):
    store(tmp_path).save(FRENCH.id, "4.2 Fr")
    before = (tmp_path / "answers.json").read_bytes()
    with pytest.raises(OtherLearnerError, match=r"answers of learner “ada.alder”.*“bo.birch”"):
        store(tmp_path, "bo.birch").save(FRENCH.id, "4.5 Fr")
    assert (tmp_path / "answers.json").read_bytes() == before


def test_another_release_is_kept_apart(tmp_path):
    store(tmp_path).save(FRENCH.id, "4.2 Fr")
    with pytest.raises(OtherLearnerError, match="release “autumn”"):
        store(tmp_path, release=new_release("spring", "catheter-sizing")).read()


def test_a_truncated_file_is_named_and_left_as_it_is(tmp_path):
    store(tmp_path).save(FRENCH.id, "4.2 Fr")
    path = tmp_path / "answers.json"
    path.write_bytes(path.read_bytes()[:-20])
    before = path.read_bytes()
    with pytest.raises(BrokenAnswersError, match="is not whole"):
        store(tmp_path).save(FRENCH.id, "4.5 Fr")
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "null",
        '{"format": "other/1"}',
        '{"format": "cubital-answers/1"}',
        "\ufeff{}",
        '{"format": "cubital-answers/1", "release": 1, "worksheet": "a", "learner": "b", '
        '"items": {}}',
        "[" * 100_000,
    ],
)
def test_any_other_text_is_broken_answers(tmp_path, text):
    (tmp_path / "answers.json").write_text(text, encoding="utf-8")
    with pytest.raises(BrokenAnswersError):
        read_answers(tmp_path)


def test_a_write_that_fails_leaves_the_old_file(tmp_path, monkeypatch):
    store(tmp_path).save(FRENCH.id, "4.2 Fr")
    before = (tmp_path / "answers.json").read_bytes()

    def full_disk(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full_disk)
    with pytest.raises(OSError, match="No space"):
        store(tmp_path).save(FRENCH.id, "4.5 Fr")
    assert (tmp_path / "answers.json").read_bytes() == before
    assert not list(tmp_path.glob("*.part")) + list(tmp_path.glob(".*.part"))


def test_a_release_reads_back_as_it_was_written(tmp_path):
    write_release(tmp_path, RELEASE)
    assert read_release(tmp_path) == RELEASE


def test_an_item_of_another_version_is_not_passed_off_as_the_released_one(tmp_path):
    write_release(tmp_path, RELEASE)
    data = json.loads((tmp_path / "release.json").read_text())
    data["items"]["sizing-french"]["version"] = 7
    (tmp_path / "release.json").write_text(json.dumps(data))
    with pytest.raises(ValueError, match="was released in version 7"):
        read_release(tmp_path).item("sizing-french")


def without(part):
    return lambda told: {key: value for key, value in told.items() if key != part}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (without("items"), "it lacks “items”"),
        (without("policy"), "it lacks “policy”"),
        (lambda told: told | {"format": "cubital-release/9"}, "its format is 'cubital-release/9'"),
        (lambda told: told | {"policy": 3}, "its “policy” is not a table of figures"),
        (lambda told: told | {"items": [1]}, "are not as a release has"),
        (lambda told: told | {"items": {"a": {"version": "x", "points": 1}}}, "are not as a"),
        (lambda told: told | {"own": {"a": {"odd": 1}}}, "are not as a release has"),
        (lambda told: [told], "it does not hold a release"),
        (lambda told: "half", "it does not hold a release"),
        (None, "is not whole"),
    ],
)
def test_a_broken_release_is_told_with_file_fault_and_what_to_do(tmp_path, change, words):
    write_release(tmp_path, RELEASE)
    path = tmp_path / "release.json"
    text = path.read_text(encoding="utf-8")
    path.write_text(json.dumps(change(json.loads(text))) if change else text[:-9], encoding="utf-8")
    with pytest.raises(ValueError, match=r"Take it anew from the zip") as told:
        read_release(tmp_path)
    said = str(told.value)
    assert said.startswith(f"{path} cannot be used: ")
    assert words in said
    for odd in ("object", "indices", "keyword", "literal", "attribute", "__"):
        assert odd not in said.removeprefix(str(path))
