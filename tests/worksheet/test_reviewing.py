"""In a session to refresh, the first answer that is meant counts, and nothing is told before it."""

import json
from types import SimpleNamespace

import pytest

from cubital import items
from cubital.handin.released.release import AT_ONCE, new_release, write_release
from cubital.refresh.reviews import FILE, read_reviews
from cubital.worksheet import reviewing
from cubital.worksheet.fields import LEVELS, field
from cubital.worksheet.sitting import sitting

from .stand_ins import SIGNS, WASH

RATIO, WIDTH = items.find("sizing-ratio"), items.find("sizing-picture-width")
SURE = max(share for share, _ in LEVELS)
HALF_SURE = next(share for share, words in LEVELS if words == "half sure")


@pytest.fixture
def session(tmp_path, monkeypatch):
    """A session of four items; two of them stand for kinds, and for an objective of their own."""
    monkeypatch.setitem(items.WORKSHEETS, "stand-ins", (WASH, SIGNS))
    known = reviewing.objective_of
    monkeypatch.setattr(
        reviewing, "objective_of", lambda name: known(name) or name.replace("stand-in", "objective")
    )

    def make(worksheet="refresh", name="refresh-20270301-aaaa"):
        folder = tmp_path / "ada.alder" / name
        listed = (RATIO, WIDTH, WASH, SIGNS)
        write_release(folder, new_release(name, worksheet, feedback=AT_ONCE, listed=listed))
        return sitting(folder)

    return make


@pytest.fixture
def here(session):
    return session()


def reviews(here):
    return read_reviews(here.folder.parent, "ada.alder").reviews


def right(here):
    return f"{RATIO.answer(here.release.values(RATIO, 'ada.alder')):.3f}"


def test_a_right_first_answer_is_kept_and_marked(here):
    form = field(here, RATIO.id)
    form.enter(right(here))
    assert form.status.endswith(tuple(".?”"))
    assert "Right." in form.status
    (review,) = reviews(here)
    assert review.id == f"{here.release.name}/sizing-ratio"
    assert (review.objective, review.item) == ("size-ratio", "sizing-ratio")
    assert (review.outcome, review.rating) == ("right", "good")
    assert review.at.isoformat() == here.store.read().last("sizing-ratio").at


def test_later_tries_do_not_count(here):
    form = field(here, RATIO.id)
    form.enter("0.01")
    form.enter(right(here))
    assert "Right." in form.status
    assert [one.rating for one in reviews(here)] == ["again"]


def test_a_field_built_again_does_not_count_a_second_time(here):
    field(here, RATIO.id).enter("0.01")
    field(here, RATIO.id).enter(right(here))
    assert len(reviews(here)) == 1


def test_the_next_session_counts_anew(here, session):
    field(here, RATIO.id).enter("0.01")
    field(session(name="refresh-20270302-bbbb"), RATIO.id).enter("0.02")
    assert [one.number for one in reviews(here)] == [1, 2]


def test_what_is_still_being_typed_is_neither_counted_nor_marked(here):
    form = field(here, RATIO.id)
    form.enter("0.01", final=False)
    assert form.status.endswith("Marked once you press “This is my answer”.")
    form.look()
    assert form.status.endswith("Marked once you press “This is my answer”.")
    assert reviews(here) == ()
    form.enter(right(here))
    assert "Right." in form.status
    assert [one.rating for one in reviews(here)] == ["good"]


def test_what_is_no_answer_is_not_counted(here):
    form = field(here, RATIO.id)
    form.enter("0.4 mL")
    assert form.state == "refused"
    assert reviews(here) == ()


def test_an_order_counts_when_its_button_is_pressed(here):
    form = field(here, WASH.id)
    form.enter(["soap", "wet", "dry"], final=False)
    assert form.status.endswith("Marked once you press “This is my answer”.")
    form.enter(["wet", "soap", "dry"], final=False)
    assert reviews(here) == ()
    form.enter(["wet", "soap", "dry"])
    assert form.status.endswith("Right.")
    assert [(one.item, one.rating) for one in reviews(here)] == [("stand-in-wash", "good")]


def test_a_table_counts_when_every_row_is_filled_in(here):
    form = field(here, SIGNS.id)
    form.enter({"fire": "cold"})
    assert form.status.endswith("Still missing: one row.")
    assert reviews(here) == ()
    form.enter({"fire": "warm", "ice": "cold"})
    assert form.status.endswith("Right.")
    assert [one.rating for one in reviews(here)] == ["good"]


def test_a_choice_counts_at_once(here):
    form = field(here, WIDTH.id)
    form.enter("cannot-be-sized")
    assert "Right." in form.status
    assert [(one.objective, one.rating) for one in reviews(here)] == [("measure-vein", "good")]


def test_right_and_sure_is_easy_right_and_half_sure_is_hard_and_sure_but_wrong_is_again(here):
    field(here, RATIO.id).enter(right(here), confidence=SURE)
    field(here, WIDTH.id).enter(
        next(o.key for o in WIDTH.options(here.release.values(WIDTH, "ada.alder")) if not o.right),
        confidence=SURE,
    )
    field(here, WASH.id).enter(["wet", "soap", "dry"], confidence=HALF_SURE)
    assert {one.item: one.rating for one in reviews(here)} == {
        "sizing-ratio": "easy",
        "sizing-picture-width": "again",
        "stand-in-wash": "hard",
    }


def test_how_sure_is_counted_only_with_the_first_answer(here):
    form = field(here, RATIO.id)
    form.enter(right(here))
    form.enter(right(here), confidence=SURE)
    assert [one.rating for one in reviews(here)] == ["good"]


def test_a_broken_log_is_said_and_left_as_it_is_and_the_answer_is_saved(here):
    log = here.folder.parent / FILE
    log.write_text("{", encoding="utf-8")
    form = field(here, RATIO.id)
    form.enter(right(here))
    assert form.state == "saved"
    assert "Not counted for what is due when:" in form.status
    assert "move it away to start afresh" in form.status
    assert log.read_text(encoding="utf-8") == "{"
    assert here.store.read().last("sizing-ratio")


def test_a_log_that_cannot_be_written_is_said(here, monkeypatch):
    def full_disk(*_given, **_named):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(reviewing, "add_review", full_disk)
    form = field(here, RATIO.id)
    form.enter(right(here))
    assert "Not counted" in form.status
    assert "No space left on device" in form.status


def test_no_other_worksheet_is_counted_or_waits(session):
    here = session(worksheet="catheter-sizing", name="practice-1")
    form = field(here, SIGNS.id)
    form.enter({"fire": "cold"})
    assert "never sat by one" in form.status
    assert not (here.folder.parent / FILE).exists()


def test_the_log_is_plain_data_with_its_format(here):
    field(here, RATIO.id).enter(right(here))
    data = json.loads((here.folder.parent / FILE).read_text(encoding="utf-8"))
    assert (data["format"], data["learner"]) == ("cubital-reviews/1", "ada.alder")
    assert set(SimpleNamespace(**data["reviews"][0]).__dict__) == {
        "id", "number", "at", "objective", "item", "outcome", "rating",
    }  # fmt: skip
