"""What is predicted on a page is kept for that page, travels with the learner, and is handed in
by nobody."""

import zipfile

import pytest

from cubital.handin.bundle import hand_in
from cubital.handin.progress import FILE
from cubital.study import folders
from cubital.study.learner import carrying, people
from cubital.study.learner.predicting import keep_prediction, predicted_on, predictions_of

LESSON, OTHER = "10-light-and-depth", "20-focal-geometry"
SAID = "8.25 mm and no more"


@pytest.fixture
def learner(tmp_path):
    folder = people.begin(tmp_path / "one", "Maria Schmidt").folder
    folders.lay_out_course(folder)
    return folder


def page(learner, lesson=LESSON):
    return learner / folders.LESSONS / f"{lesson}.ipynb"


def test_what_was_said_is_kept_for_its_own_page(learner):
    assert keep_prediction(page(learner), "width", SAID) == SAID
    assert keep_prediction(page(learner, OTHER), "registration", "") == ""
    assert predicted_on(page(learner)) == {"width": SAID}
    assert predicted_on(page(learner, OTHER)) == {"registration": ""}


def test_only_what_is_asked_on_the_page_is_kept_and_no_more_than_anybody_says(learner):
    assert list(predictions_of(page(learner))) == [
        "stated-depth",
        "where-numbers-come-from",
        "width",
        "depth-from-the-picture",
        "vein-or-artery",
    ]
    with pytest.raises(ValueError, match=r"10-light-and-depth\.ipynb has no prediction 'reading'"):
        keep_prediction(page(learner), "reading", "4 mm")
    with pytest.raises(ValueError, match="up to 200 letters, not 201"):
        keep_prediction(page(learner), "width", "4" * 201)
    assert predicted_on(page(learner)) == {}


def test_a_file_that_cannot_be_read_hides_no_page_and_is_not_written_over(learner):
    (learner / folders.LESSONS / FILE).write_text("{", encoding="utf-8")
    assert predicted_on(page(learner)) == {}
    with pytest.raises(ValueError, match="move it away"):
        keep_prediction(page(learner), "width", SAID)
    assert (learner / folders.LESSONS / FILE).read_text(encoding="utf-8") == "{"


def test_it_travels_with_the_learners_file(learner, tmp_path):
    keep_prediction(page(learner), "width", SAID)
    elsewhere = carrying.take_over(tmp_path / "two", carrying.packed(learner)).folder
    assert predicted_on(page(elsewhere)) == {"width": SAID}


def test_it_is_in_no_hand_in(learner, tmp_path):
    keep_prediction(page(learner), "width", SAID)
    made = hand_in(learner / "light-and-depth", learner.name, tmp_path / "out")
    with zipfile.ZipFile(made) as archive:
        held = [archive.read(name) for name in archive.namelist()]
    assert held
    assert not any(SAID.encode() in data for data in held)
