"""A log of reviews is never lost, never mixed, and merges the same in any order."""

import json
import os
import subprocess
import sys
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cubital import tables
from cubital.refresh.reviews import (
    RATINGS,
    BrokenReviewsError,
    Review,
    ReviewLog,
    add_review,
    merge_file,
    merged,
    objective_of,
    read_log,
    read_reviews,
)

LEARNER = "ada.alder"
AT = datetime(2027, 3, 1, 9, 0, tzinfo=UTC)


def add(folder, review="s1/reach-room", learner=LEARNER, **changes):
    given = {
        "review": review,
        "objective": "reach-way",
        "item": review.partition("/")[2],
        "outcome": "right",
        "rating": "good",
        "at": AT,
    }
    return add_review(folder, learner, **given | changes)


reviews = st.builds(
    Review,
    number=st.integers(1, 5),
    at=st.datetimes(datetime(2026, 1, 1), datetime(2030, 1, 1), timezones=st.just(UTC)),
    id=st.sampled_from([f"s{n}/x" for n in range(6)]),
    objective=st.sampled_from(["reach-way", "flow"]),
    item=st.just("x"),
    outcome=st.sampled_from(["right", "slip"]),
    rating=st.sampled_from(RATINGS),
)
WORDS = ("id", "objective", "item", "outcome", "rating")
EMPTY = ReviewLog(LEARNER)
logs = st.lists(reviews, max_size=6).map(
    lambda rows: merged(EMPTY, ReviewLog(LEARNER, tuple(rows)))
)


@given(logs, logs)
def test_merging_is_the_same_either_way_round(one, other):
    assert merged(one, other) == merged(other, one)


@given(logs, logs, logs)
def test_merging_is_the_same_however_it_is_grouped(one, two, three):
    assert merged(merged(one, two), three) == merged(one, merged(two, three))


@given(logs, logs)
def test_merging_again_changes_nothing_and_nothing_is_lost(one, other):
    both = merged(one, other)
    assert merged(both, other) == merged(both, one) == both
    ids = {row.id for row in one.reviews} | {row.id for row in other.reviews}
    assert {row.id for row in both.reviews} == ids
    assert len(both.reviews) == len(ids)


@settings(max_examples=50)
@given(st.lists(reviews, max_size=8), st.randoms())
def test_a_file_in_any_order_reads_as_the_same_log(tmp_path_factory, rows, random):
    path = tmp_path_factory.mktemp("log") / "refresh.json"
    found = []
    for _ in range(2):
        random.shuffle(rows)
        written = [
            {key: getattr(row, key) for key in WORDS}
            | {"number": row.number, "at": row.at.isoformat()}
            for row in rows
        ]
        head = {"format": "cubital-reviews/1", "learner": LEARNER}
        path.write_text(json.dumps(head | {"reviews": written}), encoding="utf-8")
        found.append(read_log(path))
    assert found[0] == found[1]


def test_what_is_added_is_there_for_the_next_process_with_its_time_in_utc(tmp_path):
    berlin = timezone(timedelta(hours=1))
    assert add(tmp_path, at=datetime(2027, 3, 1, 0, 30, 5, tzinfo=berlin))
    (row,) = json.loads((tmp_path / "refresh.json").read_text(encoding="utf-8"))["reviews"]
    assert row["at"] == "2027-02-28T23:30:05+00:00"
    (review,) = read_reviews(tmp_path, LEARNER).reviews
    assert (review.number, review.item, review.rating) == (1, "reach-room", "good")


def test_a_review_is_added_once_and_stays_as_it_was(tmp_path):
    assert add(tmp_path, rating="again", outcome="slip")
    before = (tmp_path / "refresh.json").read_bytes()
    assert not add(tmp_path, rating="easy")
    assert (tmp_path / "refresh.json").read_bytes() == before


def test_each_review_added_gets_the_next_number_whatever_the_clock_says(tmp_path):
    for number, day in enumerate((0, -400, 30, -400, 3000)):
        add(tmp_path, f"s{number}/reach-room", at=AT + timedelta(days=day))
    found = read_reviews(tmp_path, LEARNER).reviews
    assert [(row.number, row.id) for row in found] == [
        (number, f"s{number - 1}/reach-room") for number in range(1, 6)
    ]


ADD_MANY = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from cubital.refresh.reviews import add_review
folder, name, number = sys.argv[1:]
for n in range(int(number)):
    add_review(Path(folder), "ada.alder", review=f"{name}-{n}/x", objective="flow", item="x",
               outcome="right", rating="good", at=datetime.now(UTC))
    print(n, flush=True)
"""


def writer(folder, name, number):
    command = [sys.executable, "-c", ADD_MANY, str(folder), name, str(number)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def test_processes_that_add_at_once_lose_nothing(tmp_path):
    both = [writer(tmp_path, name, 20) for name in ("one", "two")]
    for process in both:
        process.communicate()
    assert [process.returncode for process in both] == [0, 0]
    log = read_reviews(tmp_path, LEARNER)
    assert len(log.reviews) == 40
    assert [row.number for row in log.reviews] == list(range(1, 41))


@pytest.mark.parametrize("lines", [1, 2, 5, 9])
def test_a_killed_process_loses_at_most_the_review_that_it_was_adding(tmp_path, lines):
    process = writer(tmp_path, "one", 100_000)
    for _ in range(lines):
        process.stdout.readline()
    process.kill()
    said = lines + len(process.communicate()[0].split())
    found = read_reviews(tmp_path, LEARNER).reviews
    assert said <= len(found) <= said + 1
    assert [row.id for row in found] == [f"one-{n}/x" for n in range(len(found))]
    assert add(tmp_path)  # the lock went with the process


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_write_that_fails_leaves_the_old_log(tmp_path, monkeypatch, step):
    add(tmp_path)
    before = (tmp_path / "refresh.json").read_bytes()

    def full_disk(*_given):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, step, full_disk)
        with pytest.raises(OSError, match="No space"):
            add(tmp_path, "s2/reach-room")
    assert (tmp_path / "refresh.json").read_bytes() == before
    assert add(tmp_path, "s2/reach-room")


def row(**changes):
    return {
        "id": "s1/x",
        "number": 1,
        "at": "2027-03-01T09:00:00+00:00",
        "objective": "flow",
        "item": "x",
        "outcome": "right",
        "rating": "good",
    } | changes


def text(*rows, **changes):
    head = {"format": "cubital-reviews/1", "learner": LEARNER, "reviews": list(rows)}
    return json.dumps(head | changes)


NO_LOG = "it is not the log that the course keeps of refreshing"
BROKEN = {
    "": "is not whole",
    text(row())[:-20]: "is not whole",
    "[]": NO_LOG,
    "null": NO_LOG,
    '{"format": "cubital-answers/1"}': "its format is 'cubital-answers/1'",
    '{"format": "cubital-reviews/1"}': NO_LOG,
    text(reviews=None): NO_LOG,
    text(row(), learner=7): "7 stands where a word is expected",
    text(row(rating="so-so")): "'so-so' is not one of the ratings",
    text(row(number=0)): "0 is not the number of a review",
    text(row(number=True)): "True is not the number of a review",
    text(row(at="2027-03-01T09:00:00")): "does not say its zone",
    text(row(at="yesterday")): "yesterday",
    text({"id": "s1/x"}): NO_LOG,
    "[" * 100_000: "nested too deeply",
}


@pytest.mark.parametrize("broken", BROKEN, ids=BROKEN.values())
def test_a_broken_log_is_refused_with_what_to_do_and_left_as_it_is(tmp_path, broken):
    path = tmp_path / "refresh.json"
    path.write_text(broken, encoding="utf-8")
    for act in (
        lambda: read_reviews(tmp_path, LEARNER),
        lambda: add(tmp_path),
        lambda: merge_file(tmp_path, LEARNER, good_log(tmp_path)),
    ):
        with pytest.raises(BrokenReviewsError, match="move it away to start afresh") as refused:
            act()
        assert BROKEN[broken] in str(refused.value)
        assert path.read_text(encoding="utf-8") == broken


def good_log(tmp_path):
    path = tmp_path / "other.json"
    path.write_text(text(row()), encoding="utf-8")
    return path


def test_a_broken_file_to_merge_changes_nothing(tmp_path):
    add(tmp_path)
    before = (tmp_path / "refresh.json").read_bytes()
    other = tmp_path / "other.json"
    for broken in ("{", text(row(rating="so-so"))):
        other.write_text(broken, encoding="utf-8")
        with pytest.raises(ValueError, match=r"cannot be merged: .* Nothing was changed"):
            merge_file(tmp_path, LEARNER, other)
    with pytest.raises(ValueError, match="cannot be merged"):
        merge_file(tmp_path, LEARNER, tmp_path / "nowhere.json")
    assert (tmp_path / "refresh.json").read_bytes() == before


def test_another_learners_log_is_neither_added_to_nor_merged(tmp_path):
    add(tmp_path)
    before = (tmp_path / "refresh.json").read_bytes()
    with pytest.raises(BrokenReviewsError, match=r"of learner “ada.alder”, and you are “bo.birch”"):
        add(tmp_path, "s2/x", learner="bo.birch")
    other = tmp_path / "other.json"
    other.write_text(text(row(), learner="bo.birch"), encoding="utf-8")
    with pytest.raises(ValueError, match="only logs of the same learner"):
        merge_file(tmp_path, LEARNER, other)
    assert (tmp_path / "refresh.json").read_bytes() == before


def test_two_computers_merged_either_way_hold_the_same_file(tmp_path):
    home, ward = tmp_path / "home", tmp_path / "ward"
    for folder, names in ((home, "abc"), (ward, "cde")):
        for name in names:
            add(folder, f"{name}/reach-room")
    kept = (home / "refresh.json").read_bytes(), (ward / "refresh.json").read_bytes()
    assert merge_file(home, LEARNER, ward / "refresh.json") == 2
    (tmp_path / "copy").mkdir()
    (tmp_path / "copy" / "refresh.json").write_bytes(kept[0])
    assert merge_file(ward, LEARNER, tmp_path / "copy") == 2  # a folder will do
    assert (home / "refresh.json").read_bytes() == (ward / "refresh.json").read_bytes()
    assert merge_file(home, LEARNER, ward / "refresh.json") == 0
    assert {one.id[0] for one in read_reviews(home, LEARNER).reviews} == set("abcde")


def test_an_item_is_reviewed_for_the_first_objective_that_lists_it():
    found = tables.curriculum().objectives
    for objective in found:
        for item in objective.items:
            first = next(row.key for row in found if item in row.items)
            assert objective_of(item) == first
    assert objective_of("no-such-item") is None
