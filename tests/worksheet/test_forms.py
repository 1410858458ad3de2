"""Forms for an order, a table and pictures: what is saved, refused, and shown afterwards."""

import json
import re
from dataclasses import replace

import pytest

from cubital import items
from cubital.handin.released.release import AFTER_MARKING, AT_ONCE, new_release, write_release
from cubital.items import Option, PlaceItem, SeriesItem
from cubital.refresh.reviews import read_reviews
from cubital.scene.files import pools
from cubital.worksheet import reviewing
from cubital.worksheet.fields import field
from cubital.worksheet.handing_in import standing
from cubital.worksheet.sitting import sitting

from .stand_ins import SIGNS, UMBRELLA, WASH

FORKS = PlaceItem(
    id="forms-forks",
    title="Forks",
    points=2,
    section="Forks",
    draw_values=lambda draw: {"picture": draw.choose(draw.pictures)},
    ask=lambda _v: "Mark every fork.",
    pool={"bifurcation": 1},
    missed="passes over it",
    invented="sees one in a crossing",
)
SERIES = SeriesItem(
    id="forms-series",
    title="A series",
    points=4,
    section="Series",
    draw_values=lambda draw: {"picture": draw.choose(draw.pictures)},
    ask=lambda _v: "What happens?",
    pool={"series-haematoma": 1},
    options=lambda _v: (Option("bruise", "A bruise."), Option("no-change", "Nothing shows.")),
    happened={"haematoma": "bruise"},
    misconceptions={"bruise": "waits for the skin to turn", "no-change": "sees what is not there"},
)
ALL = (WASH, SIGNS, UMBRELLA, FORKS, SERIES)
NAMES = {"forms-forks": ("aaaa",), "forms-series": ("bbbb",)}
SEEN = {"picture": "bbbb"}


@pytest.fixture(autouse=True)
def worksheet(monkeypatch):
    monkeypatch.setitem(items.WORKSHEETS, "forms", ALL)


@pytest.fixture(scope="module")
def pool(tmp_path_factory):
    """A fork picture and a series, rendered small in number but whole in size."""
    folder = tmp_path_factory.mktemp("pool")
    return pools.render_pool(
        folder,
        jobs={"bifurcation": 1, "series-haematoma": 1},
        seed=5,
        processes=1,
    )


@pytest.fixture
def desk(tmp_path, pool, given_out):
    """A learner's folder with the pictures, and the truth only in practice."""

    def make(feedback):
        folder = tmp_path / "ada.alder" / "forms"
        names = {
            item.id: tuple(job.name for job in pool.jobs if job.kind in item.pool)
            for item in (FORKS, SERIES)
        }
        release = new_release("autumn", "forms", feedback=feedback, pictures=names)
        if feedback == AT_ONCE:
            write_release(folder, release)
        else:
            given_out(folder, release)
        (folder / "pictures").symlink_to(pool.pictures)
        if feedback == AT_ONCE:
            (folder / "sealed").symlink_to(pool.sealed)
        return sitting(folder)

    return make


def truth(pool, kind):
    (job,) = (job for job in pool.jobs if job.kind == kind)
    return json.loads(pool.truth(job).read_text(encoding="utf-8"))["truth"]


def test_an_order_shows_the_steps_as_drawn_and_is_saved(desk):
    form = field(desk(AT_ONCE), WASH.id)
    shown = new_release("autumn", "forms").values(WASH, "ada.alder")["shown"]
    assert [step["key"] for step in form.parts["steps"]] == shown
    form.enter(["wet", "soap", "dry"])
    assert (form.state, form.entered) == ("saved", ["wet", "soap", "dry"])


def test_on_a_paper_the_steps_go_under_keys_that_tell_nothing(desk):
    form = field(desk(AFTER_MARKING), WASH.id)
    steps = {step["text"]: step["key"] for step in form.parts["steps"]}
    assert sorted(steps) == ["Dry", "Soap", "Wet"]
    assert sorted(steps.values()) == ["k1", "k2", "k3"]
    order = [steps["Wet"], steps["Soap"], steps["Dry"]]
    form.enter(order)
    assert (form.state, form.entered) == ("saved", order)
    assert "not marked yet" in form.status


@pytest.mark.parametrize(
    ("entered", "words"),
    [
        (["wet", "wet", "dry"], "“Wet” stands twice in the order"),
        (["wet", "soap"], "The order has 2 of 3 steps"),
        (["wet", "soap", "fly"], "The order has 3 of 3 steps: use each of them once"),
        ("wet", "Put the steps in order"),
    ],
)
def test_an_order_with_a_repeat_or_a_gap_is_refused_and_the_earlier_stays(desk, entered, words):
    form = field(desk(AT_ONCE), WASH.id)
    form.enter(["wet", "soap", "dry"])
    form.enter(entered)
    assert form.state == "refused"
    assert words in form.status
    assert "Your earlier answer stays: 1. Wet; 2. Soap; 3. Dry." in form.status


def test_practice_tells_the_first_rule_that_an_order_breaks(desk):
    form = field(desk(AT_ONCE), WASH.id)
    form.enter(["soap", "wet", "dry"])
    assert "This order takes soap on dry hands." in form.status
    form.enter(["wet", "soap", "dry"])
    assert form.status.endswith("Right.")


def test_a_decision_shows_both_groups_as_drawn_and_is_told_once_both_are_chosen(desk):
    form = field(desk(AT_ONCE), UMBRELLA.id)
    drawn = new_release("autumn", "forms").values(UMBRELLA, "ada.alder")
    groups = {group["name"]: group for group in form.parts["groups"]}
    assert [one["key"] for one in groups["way"]["options"]] == drawn["ways"]
    assert [one["key"] for one in groups["reason"]["options"]] == drawn["reasons"]
    assert [group["asked"] for group in form.parts["groups"]] == [
        "What do you do?",
        "What decided it?",
    ]
    form.enter({"way": "umbrella"})
    assert form.status.endswith(", but the reason is missing.")
    assert not form.told_wrong
    form.enter({"way": "umbrella", "reason": "rain"})
    assert "Neither the decision nor the reason is right." in form.status
    assert form.told_wrong
    form.enter({"way": "coat", "reason": "rain"})
    assert "The decision is right, but the reason is not right." in form.status
    form.enter({"way": "coat", "reason": "wind"})
    assert "Right: the decision, and what decided it. The way to it: A coat stays" in form.status
    assert form.entered == {"way": "coat", "reason": "wind"}


def test_of_a_decision_what_is_missing_is_named_before_handing_in(desk):
    here = desk(AFTER_MARKING)
    form = field(here, UMBRELLA.id)
    keys = {one["text"]: one["key"] for group in form.parts["groups"] for one in group["options"]}
    assert sorted(keys.values()) == [f"k{number}" for number in range(1, 9)]
    form.enter({"reason": keys["The wind."]})
    assert "but the decision is missing, not marked yet" in form.status
    assert "the decision" in str(standing(here))
    form.enter({"reason": keys["Run."]})
    assert form.state == "refused"
    assert "Your earlier answer stays: Decided by: The wind." in form.status


def test_a_table_is_saved_row_by_row_and_gives_a_share_of_the_points(desk):
    here = desk(AT_ONCE)
    form = field(here, SIGNS.id)
    form.enter({"fire": "warm"})
    assert "1 of 2 rows filled in" in form.status
    form.enter({"fire": "warm", "ice": "warm"})
    assert "Putting “Ice” there never held any." in form.status
    judged = SIGNS.judge({}, {"cells": {"fire": "warm", "ice": "warm"}})
    assert (judged.outcome, judged.points, judged.slip) == ("slip", 1, "ice-as-warm")
    form.enter({"snow": "cold"})
    assert "The table has no such row" in form.status
    form.enter({"fire": "hot"})
    assert "Choose one of the columns" in form.status
    form.enter({})
    assert "Fill in at least one row" in form.status


@pytest.mark.parametrize(
    ("marks", "words"),
    [
        ([[640, 0]], "column of a mark is 640: it must be a whole number from 0 to 639"),
        ([[0, -1]], "row of a mark is -1"),
        ([[0.5, 1]], "column of a mark is 0.5"),
        ([[True, 1]], "column of a mark is True"),
        ([[3, 4], [3, 4]], "Two marks lie at column 3, row 4"),
        ([[n, 0] for n in range(31)], "There are 31 marks; at most 30"),
        ([[1]], "A mark is a column and a row"),
        ("all over", "Place marks on the picture"),
    ],
)
def test_marks_that_cannot_be_are_refused_and_the_earlier_stay(desk, marks, words):
    form = field(desk(AFTER_MARKING), FORKS.id)
    form.enter([[10, 20]])
    form.enter(marks)
    assert words in form.status
    assert form.entered == [[10, 20]]


def test_marks_on_every_fork_are_right_and_one_too_many_costs_its_share(desk, pool):
    form = field(desk(AT_ONCE), FORKS.id)
    seen = [row for row in truth(pool, "bifurcation")["bifurcations"] if row["visible"]]
    there = [[round(row["column"]), round(row["row"])] for row in seen]
    form.enter(there)
    assert f"Right. {len(there)} of {len(there)} found" in form.status
    form._receive(form, {"reveal": True}, [])
    assert sorted(form.there) == sorted(there)
    judged = FORKS.judge(
        {"picture": "aaaa"}, {"marks": [*there, [5, 5]]}, truth(pool, "bifurcation")
    )
    assert judged.points == pytest.approx(2 * len(there) / (len(there) + 1), abs=0.01)
    assert judged.slip == "invented"
    fewer = FORKS.judge({"picture": "aaaa"}, {"marks": there[1:]}, truth(pool, "bifurcation"))
    assert fewer.slip == "missed"
    assert fewer.message.startswith("Nearly: 3 of 4 found.")
    assert fewer.misconception == "passes over it"


def test_nothing_of_the_truth_is_shown_before_marking(desk):
    form = field(desk(AFTER_MARKING), FORKS.id)
    form.enter([[5, 5]])
    form._receive(form, {"reveal": True}, [])
    assert form.there == []
    assert not form.parts["reveal"]
    assert form.status.endswith("1 mark, not marked yet.")


def test_a_series_is_marked_by_what_when_and_where(desk, pool):
    form = field(desk(AT_ONCE), SERIES.id)
    told = truth(pool, "series-haematoma")
    (event,) = told["events"]
    here = [round(event["column"]), round(event["row"])]
    right = {"what": "bruise", "frame": event["onset_frame"], "mark": here}
    form.enter(right)
    assert "Right: what, when and where." in form.status
    for answer, points in (
        (right, 4),
        (right | {"frame": event["onset_frame"] - 5}, 3),
        (right | {"mark": None}, 3),
        (right | {"frame": None, "mark": None}, 2),
        ({"what": "no-change"}, 0),
    ):
        assert SERIES.judge(SEEN, SERIES.read(answer, SEEN), told).points == points
    form.enter({"what": "bruise", "frame": 40})
    assert "The frame is 40: it must be a whole number from 0 to 39" in form.status
    form.enter({"what": "", "frame": 4})
    assert "Choose what happens" in form.status


def test_where_no_frame_shows_it_that_alone_gives_all(pool):
    told = truth(pool, "series-haematoma")
    hidden = told | {"events": [told["events"][0] | {"visible": False}]}
    assert SERIES.judge(SEEN, SERIES.read({"what": "no-change"}, SEEN), hidden).points == 4
    wrong = SERIES.judge(SEEN, SERIES.read({"what": "bruise"}, SEEN), hidden)
    assert (wrong.points, wrong.slip) == (0, "not-no-change")


def test_a_missing_picture_blocks_the_form_and_says_what_to_do(desk):
    here = desk(AFTER_MARKING)
    (here.folder / "pictures").unlink()
    form = field(here, FORKS.id)
    assert form.state == "blocked"
    assert "its picture is missing: open the worksheet again" in form.status


def test_practice_gives_the_picture_in_words_and_they_tell_of_no_fork(desk):
    words = field(desk(AT_ONCE), FORKS.id).parts["words"]
    rows = re.findall(r"^Row \d+: (?:columns|nothing)", words, flags=re.MULTILINE)
    assert len(rows) >= 30
    assert not re.search("fork|arm|meet|join", words)
    assert words.endswith("The picture is simulated, not clinically validated.")


def test_words_are_shown_only_where_they_were_given_out(desk, tmp_path, pool):
    here = desk(AFTER_MARKING)
    assert field(here, FORKS.id).parts["words"] == ""
    (here.folder / "pictures").unlink()
    (here.folder / "pictures").mkdir()
    name = here.release.values(FORKS, "ada.alder")["picture"]
    source = pool.pictures / f"{name}.png"
    (here.folder / "pictures" / source.name).write_bytes(source.read_bytes())
    (here.folder / "pictures" / f"{name}.txt").write_text("A fork lies.", encoding="utf-8")
    assert field(here, FORKS.id).parts["words"] == "A fork lies."


def test_how_sure_somebody_is_goes_with_the_answer_and_never_counts(desk):
    here = desk(AT_ONCE)
    form = field(here, SIGNS.id)
    form._receive(
        form, {"entered": {"fire": "warm", "ice": "cold"}, "final": True, "confidence": 0.25}, []
    )
    assert form.confidence == 0.25
    assert here.store.read().last(SIGNS.id).confidence == 0.25
    form.enter({"fire": "warm", "ice": "cold"})
    assert here.store.read().last(SIGNS.id).confidence == 0.25
    form.enter({"fire": "warm", "ice": "cold"}, confidence=2)
    assert "Confidence is 2: it must be from 0 to 1" in form.status


@pytest.mark.parametrize(
    ("entered", "missing", "words"),
    [
        ({"what": "bruise"}, "the frame and the mark", "but the frame and the mark are missing"),
        ({"what": "bruise", "frame": 3}, "the mark", "but the mark is missing"),
        ({"what": "bruise", "mark": [4, 5]}, "the frame", "but the frame is missing"),
        ({"what": "bruise", "frame": 0, "mark": [4, 5]}, "", "Saved at"),
        ({"what": "no-change"}, "", "Saved at"),
    ],
)
def test_a_part_of_a_series_that_is_missing_is_named(desk, entered, missing, words):
    here = desk(AT_ONCE)
    form = field(here, SERIES.id)
    form.enter(entered)
    assert form.state == "saved"
    assert words in form.status
    assert ("missing" in form.status) == bool(missing)
    assert dict(standing(here).partly) == ({SERIES.id: missing} if missing else {})


def test_a_mark_alone_is_not_saved_and_what_is_missing_is_named(desk):
    here = desk(AT_ONCE)
    form = field(here, SERIES.id)
    form.enter({"what": None, "frame": 3, "mark": [4, 5]})
    assert (form.state, form.status) == ("refused", "Not saved. Choose what happens.")
    assert here.store.read().last(SERIES.id) is None


def test_the_last_mark_taken_away_is_not_said_to_be_saved(desk):
    form = field(desk(AT_ONCE), FORKS.id)
    form.enter([[3, 4]])
    form.enter(None)
    assert form.state == "refused"
    assert "Not saved. Place marks on the picture, or say that there is none." in form.status
    assert "Your earlier answer stays: 1 fork: column 3, row 4." in form.status


@pytest.mark.parametrize(("found", "rated"), [(True, "good"), (False, "again")])
def test_in_a_session_to_refresh_a_picture_is_a_review_by_its_truth(
    desk, pool, monkeypatch, found, rated
):
    here = desk(AT_ONCE)
    write_release(here.folder, replace(here.release, worksheet="refresh"))
    monkeypatch.setattr(reviewing, "objective_of", lambda _name: "read-picture")
    here = sitting(here.folder)
    values = here.release.values(FORKS, "ada.alder")
    right = FORKS.solution(values, truth(pool, "bifurcation"))
    field(here, FORKS.id).enter(right if found else [[3, 3]])
    (review,) = read_reviews(here.folder.parent, "ada.alder").reviews
    assert (review.item, review.rating) == (FORKS.id, rated)
