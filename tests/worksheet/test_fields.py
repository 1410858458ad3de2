"""A field says what is saved and why something is not; moving a model, without a browser."""

import errno
import json
from dataclasses import replace

import pytest

from cubital import items
from cubital.handin.released.release import AT_ONCE, new_release, write_release
from cubital.worksheet.fields import field
from cubital.worksheet.sitting import sitting


@pytest.fixture
def here(tmp_path, given_out):
    folder = tmp_path / "ada.alder" / "catheter-sizing"
    given_out(folder, new_release("autumn", "catheter-sizing"))
    return sitting(folder)


@pytest.fixture
def ratio(here):
    return field(here, "sizing-ratio")


def test_a_fresh_field_asks_with_this_learners_values(here, ratio):
    assert ratio.question == here.papers.form(here.store.paper, "sizing-ratio").question
    assert " mm across" in ratio.question
    assert (ratio.state, ratio.status) == ("empty", "Not answered yet.")


def test_an_answer_is_saved_and_said_in_the_items_unit(here):
    width = field(here, "sizing-smallest-vein")
    width.enter("0.25 cm")
    assert width.state == "saved"
    assert "as 2.5 mm (typed “0.25 cm”)" in width.status


def test_a_wrong_dimension_is_refused_under_the_field_and_the_earlier_answer_stays(here):
    width = field(here, "sizing-smallest-vein")
    width.enter("2.5 mm")
    width.enter("2.5 mL")
    assert width.state == "refused"
    assert "Not saved. “mL” does not measure this." in width.status
    assert "Your earlier answer stays: 2.5 mm." in width.status
    assert here.store.read().last("sizing-smallest-vein").answer["number"] == 2.5


def test_an_impossible_number_is_refused_in_the_words_of_the_calculation(here):
    width = field(here, "sizing-smallest-vein")
    width.enter("0 mm")
    assert width.status == ("Not saved. Vein diameter is 0 mm: it must be from 0.1 to 30 mm.")


def test_half_typed_is_not_scolded(ratio):
    ratio.enter("0.", final=False)
    ratio.enter("", final=False)
    assert (ratio.state, ratio.status) == ("typing", "Not saved yet.")


def test_a_field_built_again_shows_what_was_saved(here, ratio):
    ratio.enter("38 %")
    again = field(here, "sizing-ratio")
    assert (again.entered, again.state) == ("38 %", "saved")


def test_a_second_window_sees_what_the_first_saved(here, ratio):
    other = field(here, "sizing-ratio")
    ratio.enter("38 %")
    other._receive(other, {"look": True}, [])
    assert other.entered == "38 %"


def test_a_field_looks_again_only_if_its_own_answer_was_changed(here, ratio):
    other = field(here, "sizing-ratio")
    ratio.enter("38 %")
    stamp = ratio.stamp
    ratio.look_again()
    assert ratio.stamp == stamp
    other.look_again()
    assert (other.entered, other.state) == ("38 %", "saved")
    (here.folder / "answers.json").unlink()
    ratio.look_again()
    assert (ratio.entered, ratio.state) == (None, "empty")


def test_what_is_said_to_be_saved_is_what_the_file_holds(here, ratio, monkeypatch):
    ratio.enter("38 %")
    store = type(here.store)
    before = here.store.read().last("sizing-ratio")
    with monkeypatch.context() as patch:
        patch.setattr(store, "save", lambda *_args, **_named: replace(before, answer={}))
        ratio.enter("39 %")
    assert ratio.entered == "38 %"
    assert "38 %" in ratio.status


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), "there is no room left on the disk."),
        (OSError(errno.EIO, "Input/output error"), "could not be written (Input/output error)."),
        (TimeoutError(), "could not be written (another program holds it)."),
    ],
)
def test_what_cannot_be_written_is_tried_again_and_not_said_to_be_saved(
    here, ratio, monkeypatch, error, words
):
    ratio.enter("38 %")
    with monkeypatch.context() as patch:
        patch.setattr("cubital.handin.answers.write_json", lambda *_args: throw(error))
        tell(ratio, "39 %", turn=1)
    assert (ratio.state, ratio.heard) == ("trying", 1)
    assert ratio.status.startswith("Not saved yet, trying again: ")
    assert ratio.status.endswith(words)
    assert here.store.read().last("sizing-ratio").answer["typed"] == "38 %"
    tell(ratio, "39 %", turn=2)
    assert (ratio.state, ratio.heard, ratio.entered) == ("saved", 2, "39 %")


def test_what_ends_in_an_error_gets_no_reply(ratio, monkeypatch):
    ratio.enter("38 %")
    with monkeypatch.context() as patch:
        patch.setattr("cubital.handin.answers.write_json", lambda *_args: throw(MemoryError()))
        with pytest.raises(MemoryError):
            tell(ratio, "39 %", turn=1)
    assert ratio.heard == 0


def throw(error):
    raise error


def tell(box, entered, turn):
    """Send what the page sends when something was entered."""
    message = {"entered": entered, "final": True, "turn": turn, "confidence": None}
    box._receive(box, message, [])


def test_no_feedback_before_marking(ratio):
    ratio.enter("2.6")
    assert "comes out when" not in ratio.status
    assert "Right" not in ratio.status


def test_practice_gives_feedback_at_once(tmp_path):
    folder = tmp_path / "ada.alder" / "catheter-sizing"
    write_release(folder, new_release("practice-1", "catheter-sizing", feedback=AT_ONCE))
    here = sitting(folder)
    item = items.find("sizing-ratio")
    values = here.release.values(item, "ada.alder")
    box = field(here, item.id)
    box.enter(f"{item.answer(values):.4f}")
    assert "Right. The way to it: " in box.status
    box.enter(f"{1 / item.answer(values):.4f}")
    assert "Not right yet. This is what comes out when the vein is divided by" in box.status
    assert "Catheter and vein: the ratio" in box.status
    assert "in the lesson Catheter sizing" in box.status


def test_practice_keeps_the_way_to_itself_while_tries_remain(tmp_path):
    folder = tmp_path / "ada.alder" / "catheter-sizing"
    write_release(folder, new_release("practice-1", "catheter-sizing", feedback=AT_ONCE))
    box = field(sitting(folder), "sizing-ratio")
    told = []
    for typed in ("0.9", "0.91", "0.92"):
        box.enter(typed)
        told.append("The way to it" in box.status)
    assert told == [False, False, True]


def test_answers_of_another_learner_block_the_field(here, ratio):
    ratio.enter("38 %")
    path = here.folder / "answers.json"
    data = json.loads(path.read_text(encoding="utf-8"))
    data["learner"] = "bo.birch"
    path.write_text(json.dumps(data), encoding="utf-8")
    blocked = field(here, "sizing-ratio")
    assert blocked.state == "blocked"
    assert "bo.birch" in blocked.status
    blocked.enter("0.4")
    assert json.loads(path.read_text(encoding="utf-8")) == data


def test_broken_answers_block_the_field_and_are_not_overwritten(here, ratio):
    (here.folder / "answers.json").write_text('{"format": "cub', encoding="utf-8")
    blocked = field(here, "sizing-ratio")
    blocked.enter("0.4")
    assert blocked.state == "blocked"
    assert "Nothing was written over it" in blocked.status
    assert (here.folder / "answers.json").read_text(encoding="utf-8") == '{"format": "cub'


def test_a_choice_offers_this_learners_options(here):
    box = field(here, "sizing-picture-width")
    form = here.papers.form(here.store.paper, "sizing-picture-width")
    assert [option["text"] for option in box.parts["options"]] == list(form.offered)
    box.enter("k2")
    assert box.state == "saved"
    box.enter("an option nobody offered")
    assert box.state == "refused"
    assert here.store.read().last("sizing-picture-width").answer == {"choice": "k2"}


def test_per_cent_without_its_sign_is_asked_back_and_taken_over_at_one_press(here):
    share = field(here, "sizing-area-share")
    share.enter("0.2")
    share.enter("34")
    assert (share.state, share.meant) == ("refused", "34 %")
    assert share.status == (
        "Not saved. Your earlier answer stays: 0.2. 34 without a sign would be 3400 %. Did you "
        "mean 34 %?"
    )
    assert here.store.read().last("sizing-area-share").answer["number"] == 0.2
    turn = {"entered": share.meant, "final": True, "turn": 1, "confidence": None}
    share._receive(share, turn, [])
    assert (share.state, share.meant, share.entered) == ("saved", "", "34 %")
    assert here.store.read().last("sizing-area-share").answer["number"] == pytest.approx(0.34)


def test_nothing_is_asked_back_while_a_number_is_being_typed(here):
    share = field(here, "sizing-area-share")
    share.enter("34", final=False)
    assert (share.state, share.meant) == ("typing", "")
    assert here.store.read().last("sizing-area-share") is None
