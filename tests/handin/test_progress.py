"""How far a learner is, and what they predicted: kept, and merged from two computers."""

import json

import pytest

from cubital.handin.progress import FILE, Predicted, Progress, keep_progress, merged, read_progress

WIDTH, DRIP = "10-light-and-depth/width", "40-catheter-sizing/drip-rate"


def test_a_prediction_is_added_to_those_before_and_the_last_words_stay(tmp_path):
    keep_progress(tmp_path, predicted={WIDTH: "4 mm"})
    keep_progress(tmp_path, predicted={DRIP: ""})
    keep_progress(tmp_path, finished="10-light-and-depth", predicted={WIDTH: "6 mm"})
    kept = read_progress(tmp_path)
    assert {place: said.words for place, said in kept.predicted.items()} == {
        WIDTH: "6 mm",
        DRIP: "",
    }
    assert set(kept.finished) == {"10-light-and-depth"}
    assert kept.predicted[DRIP].at < kept.predicted[WIDTH].at


def test_a_file_of_before_there_were_predictions_is_read(tmp_path):
    keep_progress(tmp_path, path="adult")
    data = json.loads((tmp_path / FILE).read_text(encoding="utf-8"))
    del data["predicted"]
    (tmp_path / FILE).write_text(json.dumps(data), encoding="utf-8")
    assert read_progress(tmp_path).predicted == {}


@pytest.mark.parametrize("wrong", [{WIDTH: "4 mm"}, {WIDTH: {"words": "4 mm"}}, ["4 mm"]])
def test_predictions_of_another_form_are_said_to_be_unreadable(tmp_path, wrong):
    keep_progress(tmp_path, path="adult")
    data = json.loads((tmp_path / FILE).read_text(encoding="utf-8"))
    (tmp_path / FILE).write_text(json.dumps(data | {"predicted": wrong}), encoding="utf-8")
    with pytest.raises(ValueError, match="move it away to start afresh"):
        read_progress(tmp_path)


def test_of_two_computers_what_was_said_last_stays_in_either_order():
    one = Progress(
        predicted={WIDTH: Predicted("2027-03-01", "4 mm"), DRIP: Predicted("2027-03-05", "")}
    )
    other = Progress(predicted={WIDTH: Predicted("2027-03-02", "6 mm")})
    both = {WIDTH: Predicted("2027-03-02", "6 mm"), DRIP: Predicted("2027-03-05", "")}
    assert merged(one, other) == merged(other, one) == Progress(predicted=both)


def test_of_two_computers_the_path_that_was_chosen_last_stays_in_either_order(tmp_path):
    before = keep_progress(tmp_path, path="venepuncture")
    now = keep_progress(tmp_path, path="adult")
    assert merged(before, now).path == merged(now, before).path == "adult"
    assert read_progress(tmp_path) == merged(now, before) == now


def test_a_path_that_was_kept_before_its_time_was_noted_is_read(tmp_path):
    keep_progress(tmp_path, path="adult")
    data = json.loads((tmp_path / FILE).read_text(encoding="utf-8"))
    del data["path_at"]
    (tmp_path / FILE).write_text(json.dumps(data), encoding="utf-8")
    old = read_progress(tmp_path)
    now = keep_progress(tmp_path / "other", path="venepuncture")
    assert (old.path, merged(now, old).path) == ("adult", "venepuncture")
