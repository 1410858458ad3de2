"""A key is plain data: it judges alone, read back from JSON, and a form can go under other keys."""

import json

import pytest

from cubital import items
from cubital.handin.released.release import new_release
from cubital.items import KINDS, form_of, key_of
from cubital.items.kinds.form import answer_with_keys
from cubital.items.kinds.key import MissingTruthError

RELEASES = {name: new_release("autumn", name) for name in items.WORKSHEETS}
ITEMS = [
    pytest.param(RELEASES[worksheet], item, id=item.id)
    for worksheet, listed in items.WORKSHEETS.items()
    for item in listed
    if item.needs in {"", "person"}
]
LEARNERS = [f"learner-{number:02d}" for number in range(20)]
WAITS = "Waits to be marked by hand."


def read_back(data):
    return json.loads(json.dumps(data, allow_nan=False))


@pytest.mark.parametrize(("release", "item"), ITEMS)
def test_a_key_from_json_knows_the_right_answer_and_every_slip(release, item):
    for learner in LEARNERS:
        question = release.question(item, learner)
        form, key = form_of(read_back(question.form.data())), key_of(read_back(question.key.data()))
        assert key == question.key
        right = key.judge(form, form.read(item.solution(question.values)))
        assert right.outcome == "right" or right.message == WAITS
        for slip, typed in item.slip_answers(question.values).items():
            told = key.judge(form, form.read(typed))
            assert (told.outcome, told.slip) == ("slip", slip)


@pytest.mark.parametrize("kind", ["code", "expression"])
def test_the_key_of_what_is_tried_holds_its_cases_and_what_each_slip_gives(kind, own_code):
    item = own_code if kind == "code" else items.find("sizing-ratio-code")
    release = new_release("autumn", "catheter-sizing", listed=[item])
    question = release.question(item, "ada", "a secret")
    key = key_of(read_back(question.key.data()))
    assert dict(key.cases[0]) == question.values
    assert len(key.cases) == len({*key.cases}) == 1 + item.HIDDEN_CASES
    other = release.question(item, "ada", "another secret").key
    assert key.cases[0] == other.cases[0]
    assert not {*key.cases[1:]} & {*other.cases[1:]}
    assert key.told(key.right).outcome == "right"
    for slip in key.slips:
        assert key.told(slip.results).slip == slip.key


@pytest.mark.parametrize(("release", "item"), ITEMS)
def test_a_form_under_other_keys_holds_none_of_its_own_and_its_answers_translate(release, item):
    for learner in LEARNERS:
        question = release.question(item, learner)
        own = question.form.keys()
        names = {key: f"key-{place}" for place, key in enumerate(own)}
        given_out = question.form.with_keys(names)
        assert given_out.keys() == tuple(names.values())
        assert given_out.offered == question.form.offered
        back = {name: key for key, name in names.items()}
        assert given_out.with_keys(back) == question.form
        entered = item.solution(question.values)
        answer = given_out.read(answer_with_keys(entered, names) if own else entered)
        assert given_out.in_words(answer) == question.form.in_words(question.form.read(entered))
        translated = answer_with_keys(answer, back)
        assert translated == question.form.read(entered)


def test_a_key_on_a_picture_asks_for_its_truth():
    item = next(i for listed in items.WORKSHEETS.values() for i in listed if i.kind == "place")
    values = {"picture": "aaaa"}
    with pytest.raises(MissingTruthError, match="the picture's truth"):
        item.judge(values, {"marks": []})
    assert item.judge(values, None).outcome == "blank"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"kind": "riddle"}, "there is no kind 'riddle'"),
        ({"right": "3"}, "not a key: right is '3'"),
        ({"slips": [{"key": "a"}]}, "not a key: slips is"),
        ({"hint": ""}, "not a key of kind number: hint is missing or unknown"),
    ],
)
def test_what_is_no_key_is_refused_with_what_is_wrong(change, words):
    item = items.find("sizing-area-share")
    data = RELEASES["catheter-sizing"].question(item, "ada").key.data()
    with pytest.raises(ValueError, match=words):
        key_of(data | change)


def test_form_key_and_item_of_a_kind_have_one_name():
    for name, kind in KINDS.items():
        assert kind.form.kind == kind.key.kind == kind.item.kind == name
        assert kind.key.needs == kind.item.needs
