"""How sure somebody is lies from 0 to 1, both taken; and how many files one zip may hold."""

import zipfile

import pytest

from cubital import items
from cubital.handin.answers import AnswerStore
from cubital.handin.bundle import read_bundle
from cubital.handin.released.release import new_release

RELEASE = new_release("autumn", "catheter-sizing")
FRENCH = items.find("sizing-french")


@pytest.mark.parametrize("sure", [0, 0.0, 0.5, 1, 1.0])
def test_how_sure_somebody_is_may_be_none_to_all(tmp_path, sure):
    store = AnswerStore(tmp_path, RELEASE, "ada.alder")
    assert store.save(FRENCH.id, "4.2 Fr", confidence=sure).confidence == sure
    assert store.read().last(FRENCH.id).confidence == sure


@pytest.mark.parametrize("sure", [-1, -0.01, 1.01, 2, True, False, "0.5", [0.5], float("nan")])
def test_anything_else_is_refused_and_nothing_is_saved(tmp_path, sure):
    store = AnswerStore(tmp_path, RELEASE, "ada.alder")
    with pytest.raises(ValueError, match="it must be from 0 to 1"):
        store.save(FRENCH.id, "4.2 Fr", confidence=sure)
    assert store.read().last(FRENCH.id) is None


@pytest.mark.parametrize(("number", "words"), [(20, "was not made by"), (21, "holds 21 files")])
def test_a_zip_holds_twenty_files_at_most(tmp_path, number, words):
    path = tmp_path / "many.zip"
    with zipfile.ZipFile(path, "w") as archive:
        for name in range(number):
            archive.writestr(f"{name}.txt", "x")
    with pytest.raises(ValueError, match=words):
        read_bundle(path)
