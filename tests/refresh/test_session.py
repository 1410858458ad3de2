"""A session leads from question to question, and its end says what was kept and what comes."""

from datetime import UTC, datetime

import pytest

from cubital.refresh.reviews import add_review, objective_of, review_id
from cubital.refresh.session import Session
from cubital.study import refreshing


@pytest.fixture
def laid_out(tmp_path):
    """A session of some minutes, and its folder."""
    return refreshing.lay_out_refresh(tmp_path, "ada.alder", minutes=9).notebook.parent


def press(form, name):
    form._handle_custom_msg({"name": name, "value": True}, [])


def answer(form, number, outcome):
    item = form.items[number]
    add_review(
        form.learner,
        form.learner.name,
        review=review_id(form.release.name, item.id),
        objective=objective_of(item.id),
        item=item.id,
        outcome=outcome,
        rating="good" if outcome == "right" else "again",
        at=datetime.now(UTC),
    )
    form.look_again()


def test_one_question_at_a_time_the_next_once_it_is_answered_and_none_held_back(laid_out):
    form = Session(laid_out)
    assert len(form.items) > 2
    assert (form.blocks[0]["at"], form.blocks[0]["steps"][0][1]) == (0, form.items[0].id)
    assert form.blocks[2] | {"name": ""} == {
        "kind": "button",
        "name": "",
        "words": "Skip it: it is asked again",
        "second": True,
    }
    answer(form, 0, "right")
    assert (form.blocks[2]["words"], form.blocks[2]["second"]) == ("Next question", False)
    press(form, "next")
    assert form.blocks[0]["at"] == 1
    assert f"Question 2 of {len(form.items)}" in form.words()
    assert form.blocks[-1]["words"] == "Back"
    assert Session(laid_out).at == 1  # also after a reload
    press(form, "back")
    assert form.blocks[0]["at"] == 0
    assert "Back" not in [block.get("words") for block in form.blocks]


def test_the_end_says_what_was_right_what_was_not_and_when_each_is_due(laid_out):
    form = Session(laid_out)
    answer(form, 0, "right")
    answer(form, 1, "slip")
    for _ in form.items:
        press(form, "next")
    assert "1 of 2 answered right at the first try." in form.words()
    (table,) = (block for block in form.blocks if block["kind"] == "table")
    right, wrong, left, *_ = [[cell["text"] for cell in row] for row in table["rows"]]
    assert right[:2] == [form.items[0].title, "✓ right"]
    assert wrong[1] == "not right yet"
    assert left[1:] == ["skipped", "when you refresh next"]
    days = [datetime.strptime(row[2], "%d %B %Y") for row in (right, wrong)]
    assert days[0] <= days[1]  # in turn: what was asked first is asked again first
    assert table["head"] == ["Question", "You", "Knowledge due"]
