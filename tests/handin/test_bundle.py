"""What is handed in is whole, names its learner, and cannot climb out of the zip."""

import hashlib
import json
import zipfile

import pytest

from cubital.handin.answers import AnswerStore
from cubital.handin.bundle import bundle_of, hand_in, read_bundle
from cubital.handin.ids import canonical_id
from cubital.handin.released.release import new_release, write_release
from cubital.items.kinds.text import fenced

RELEASE = new_release("autumn", "catheter-sizing")


@pytest.fixture
def folder(tmp_path):
    here = tmp_path / "ada.alder" / "catheter-sizing"
    write_release(here, RELEASE)
    manual = {
        "cell_type": "markdown",
        "id": "reasons",
        "metadata": {"nbgrader": {"grade_id": "sizing-reasons", "grade": True, "solution": True}},
        "source": "*Your text is placed here when you hand in.*",
    }
    notebook = {"cells": [manual], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
    (here / "catheter-sizing.ipynb").write_text(json.dumps(notebook))
    store = AnswerStore(here, RELEASE, "ada.alder")
    store.save("sizing-french", "9.9 Fr", confidence=0.25)
    store.save("sizing-french", "4.2 Fr", confidence=0.5)
    store.save("sizing-reasons", "It is a shadow.\n~~~\n<script>alert(1)</script>")
    return here


def test_the_zip_holds_what_was_saved(folder, tmp_path):
    bundle = read_bundle(hand_in(folder, "ada.alder", tmp_path / "out"))
    assert (bundle.learner, bundle.worksheet, bundle.release) == (
        "ada.alder",
        "catheter-sizing",
        "autumn",
    )
    assert bundle.files["timestamp.txt"].endswith(b" UTC\n")


@pytest.mark.parametrize("sure", [False, True])
def test_the_last_answers_travel_and_how_sure_only_if_the_learner_lets_it(folder, tmp_path, sure):
    bundle = read_bundle(hand_in(folder, "ada.alder", tmp_path / "out", sure=sure))
    data = bundle.files["answers.json"]
    there = json.loads(data)
    kept = json.loads((folder / "answers.json").read_text("utf-8"))
    assert [len(rows) for rows in kept["items"].values()] == [2, 1]  # the learner's own, whole
    assert there | {"items": {}} == kept | {"items": {}}
    assert {item: rows[0]["answer"] for item, rows in there["items"].items()} == {
        "sizing-french": {"number": 4.2, "typed": "4.2 Fr"},
        "sizing-reasons": {"text": "It is a shadow.\n~~~\n<script>alert(1)</script>"},
    }
    assert [len(rows) for rows in there["items"].values()] == [1, 1]
    assert (b"9.9" in data, b"confidence" in data) == (False, sure)
    texts = [data for name, data in bundle.files.items() if name != "timestamp.txt"]
    assert b"9.9" not in b"".join(texts)


def test_how_long_somebody_took_cannot_be_read_off_a_hand_in(folder, tmp_path):
    bundle = read_bundle(hand_in(folder, "ada.alder", tmp_path / "out"))
    there = json.loads(bundle.files["answers.json"])["items"]
    kept = json.loads((folder / "answers.json").read_text("utf-8"))["items"]
    for item, (row,) in there.items():
        assert len(row["at"]) == len("2027-03-05")
        assert kept[item][-1]["at"].startswith(f"{row['at']}T")


def test_free_text_goes_into_its_cell_and_acts_on_nothing(folder, tmp_path):
    bundle = read_bundle(hand_in(folder, "ada.alder", tmp_path))
    source = json.loads(bundle.files["catheter-sizing.ipynb"])["cells"][0]["source"]
    assert source == "~~~~text\nIt is a shadow.\n~~~\n<script>alert(1)</script>\n~~~~"
    assert "placed here" in (folder / "catheter-sizing.ipynb").read_text()


def test_a_fence_is_longer_than_any_in_the_text():
    assert fenced("a ~~~~~ b").startswith("~~~~~~text\n")


def test_a_learner_cannot_hand_in_anothers_answers(folder, tmp_path):
    with pytest.raises(ValueError, match=r"answers of learner “ada\.alder”"):
        hand_in(folder, "bo.birch", tmp_path)


def rewrite(path, change):
    with zipfile.ZipFile(path) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    change(files)
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)


def test_a_file_changed_after_the_hand_in_is_told(folder, tmp_path):
    path = hand_in(folder, "ada.alder", tmp_path)
    rewrite(path, lambda files: files.update({"answers.json": b"{}"}))
    with pytest.raises(ValueError, match=r"answers\.json in .* was changed"):
        read_bundle(path)


@pytest.mark.parametrize("name", ["../../evil.py", "/etc/evil", "cubital/__init__.py", "x.ipynb"])
def test_only_the_files_of_a_hand_in_are_taken(folder, tmp_path, name):
    path = hand_in(folder, "ada.alder", tmp_path)

    def add(files):
        files[name] = b"x"
        note = json.loads(files["handin.json"])
        note["sha256"][name] = hashlib.sha256(b"x").hexdigest()
        files["handin.json"] = json.dumps(note).encode()

    rewrite(path, add)
    with pytest.raises(ValueError, match="which is not taken"):
        read_bundle(path)


def test_a_zip_that_swells_is_refused(folder, tmp_path):
    path = hand_in(folder, "ada.alder", tmp_path)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("big.bin", bytes(9_000_000))
    with pytest.raises(ValueError, match="more than are taken"):
        read_bundle(path)


def test_half_a_zip_is_refused(folder, tmp_path):
    path = hand_in(folder, "ada.alder", tmp_path)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    with pytest.raises(ValueError, match="is not a whole zip"):
        read_bundle(path)


def test_a_zip_of_other_making_is_refused(tmp_path):
    path = tmp_path / "mine.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("notes.txt", "hello")
    with pytest.raises(ValueError, match="was not made by “cubital hand-in”"):
        read_bundle(path)


@pytest.mark.parametrize("text", ["ada.alder", " Ada.Alder ", "n-17", "a", "rn_2026.b"])
def test_one_person_has_one_id(text):
    assert canonical_id(text) == text.strip().lower()


@pytest.mark.parametrize("part", ["format", "learner", "worksheet", "release", "at", "sha256"])
@pytest.mark.parametrize("odd", [None, 7])
def test_a_note_that_lacks_a_part_names_it(part, odd):
    note = {"format": "x", "learner": "a", "worksheet": "w", "release": "r", "at": "t"}
    note = note | {"sha256": {}} | {part: odd}
    with pytest.raises(ValueError, match=f"handin.json lacks {part}$"):
        bundle_of({"handin.json": json.dumps(note).encode()}, "x.zip")


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "../x",
        "a/b",
        "a\\b",
        "*",
        "a\0b",
        ".hidden",
        "a..b",
        "con",
        "nul.x",
        "é",
        "a" * 41,
        "a b",
        "-a",
        "a\n"[:1] + "\nb",
    ],
)
def test_what_could_harm_as_a_folder_is_no_id(text):
    with pytest.raises(ValueError, match="cannot be a learner id"):
        canonical_id(text)
