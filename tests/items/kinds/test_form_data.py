"""A form is plain data, is read back with no item at hand, and tells nothing of the key."""

import json
from dataclasses import fields, replace

import pytest

from cubital import items
from cubital.handin.released.release import new_release
from cubital.items import KINDS, Before, Item, form_of

RELEASES = {name: new_release("autumn", name) for name in items.WORKSHEETS}
ITEMS = [
    pytest.param(worksheet, item, id=item.id)
    for worksheet, listed in items.WORKSHEETS.items()
    for item in listed
]
LEARNERS = [f"learner-{number:02d}" for number in range(30)]
MARKED = "zzz-"  # what no question, option, step or row begins with


def draws(worksheet, item):
    """The values of many learners; an item on pictures gets the name of one."""
    if item.needs == "truth":
        return [{"picture": "aaaa", "trials": ["aaaa", "bbbb"], "turn": 1}]
    return [RELEASES[worksheet].values(item, learner) for learner in LEARNERS]


def other_key(item: Item) -> Item:
    """The same question with every part of its key, slips and mark scheme another.

    Misconceptions, mark schemes and names of slips are all marked, so that they can be found.
    """
    change = {
        "answer": lambda _v: 0.123,
        "slips": (items.Slip(f"{MARKED}slip", f"{MARKED}why", lambda _v: 9.0),),
        "relative_tolerance": 0.5,
        "absolute_tolerance": 0.5,
        "route": lambda _v: f"{MARKED}route",
        "mark_scheme": (f"{MARKED}scheme",),
        "rules": (Before(f"{MARKED}rule", "a", "b", f"{MARKED}why"),),
        "missed": f"{MARKED}missed",
        "invented": f"{MARKED}invented",
        "what": f"{MARKED}what",
        "within_mm": 99.0,
        "within_frames": 99,
        "hidden": f"{MARKED}hidden",
        "happened": {"haematoma": f"{MARKED}key"},
        "misconceptions": {"bruise": f"{MARKED}why"},
        "section": f"{MARKED}section",
    }
    if item.kind == "trials" and item.ways:  # the last way is right
        *first, end = item.ways
        wrong = [replace(one, misconception=f"{MARKED}why") for one in first]
        change["ways"] = (*wrong, replace(end, misconception=""))
    if item.kind in {"choice", "series"}:  # the last option is right, whichever was before

        def options(values, was=item.options):
            shown = list(was(values))
            wrong = [replace(one, misconception=f"{MARKED}why") for one in shown[:-1]]
            return [*wrong, replace(shown[-1], misconception="")]

        change["options"] = options
    if item.kind == "decision":  # the last way and the last reason are right

        def last(values, was):
            shown = list(was(values))
            wrong = [replace(one, misconception=f"{MARKED}why") for one in shown[:-1]]
            return [*wrong, replace(shown[-1], misconception="")]

        change["because"] = f"{MARKED}because"
        change["ways"] = lambda values, was=item.ways: last(values, was)
        change["reasons"] = lambda values, was=item.reasons: last(values, was)
    if item.kind == "table":  # each row belongs into the next column

        def rows(values, was=item.rows):
            keys = [column.key for column in item.columns(values)]
            shown = []
            for row in was(values):
                right = keys[(keys.index(row.right) + 1) % len(keys)]
                why = {key: f"{MARKED}why" for key in keys if key != right}
                shown.append(replace(row, right=right, misconceptions=why))
            return shown

        change["rows"] = rows
    if item.kind == "order":  # the right order is turned round
        change["steps"] = lambda values, was=item.steps: list(was(values))[::-1]
    own = {one.name for one in fields(item)}
    return replace(item, **{name: value for name, value in change.items() if name in own})


@pytest.mark.parametrize(("worksheet", "item"), ITEMS)
def test_a_form_is_read_back_from_json_and_reads_and_says_the_same(worksheet, item):
    for values in draws(worksheet, item):
        form = item.form(values)
        again = form_of(json.loads(json.dumps(form.data(), allow_nan=False)))
        assert again == form
        assert (again.label, again.hint, again.offered) == (form.label, form.hint, form.offered)
        assert again.parts() == form.parts()
        if item.needs in {"", "person"}:
            answer = again.read(item.solution(values))
            assert item.judge(values, answer).outcome in {"right", "waiting"}
            assert again.in_words(answer) == item.in_words(values, answer)


@pytest.mark.parametrize(("worksheet", "item"), ITEMS)
def test_a_form_stays_the_same_whatever_the_key_is(worksheet, item):
    other = other_key(item)
    for values in draws(worksheet, item):
        assert other.form(values).data() == item.form(values).data()


@pytest.mark.parametrize(("worksheet", "item"), ITEMS)
def test_a_form_holds_no_misconception_no_scheme_and_no_mark_of_what_is_right(worksheet, item):
    for values in draws(worksheet, item):
        data = item.form(values).data()
        text = json.dumps(data, ensure_ascii=False)
        for mistake in item.mistakes(values):
            assert mistake.misconception not in text, mistake.key
        for line in getattr(item, "mark_scheme", ()):
            assert line not in text
        offered = [one for part in data.values() if isinstance(part, list) for one in part]
        assert all(set(one) == {"key", "text"} for one in offered if isinstance(one, dict))
        assert not {"answer", "right", "slips", "rules", "tolerance"} & set(data)


def test_the_check_for_the_key_finds_a_form_that_tells_it():
    item = items.find("sizing-smallest-adequate")
    values = RELEASES["catheter-sizing"].values(item, "ada")

    class Telling(type(item)):
        def form(self, values):
            form = super().form(values)
            return replace(form, question=f"{form.question} {self.solution(values)}")

    telling = Telling(**{one.name: getattr(item, one.name) for one in fields(item)})
    while telling.solution(values) == other_key(telling).solution(values):
        values["order"] = values["order"][1:] + values["order"][:1]
    assert other_key(telling).form(values).data() != telling.form(values).data()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"kind": "riddle"}, "there is no kind 'riddle'; there are: number, choice, decision"),
        ({"unit": 3}, "not a form: unit is 3"),
        ({"points": True}, "not a form: points is True"),
        ({"most": "1"}, "not a form: most is '1'"),
        ({"slips": []}, "slips is missing or unknown"),
    ],
)
def test_what_is_no_form_is_refused_with_what_is_wrong(change, words):
    item = items.find("sizing-area-share")
    data = item.form(RELEASES["catheter-sizing"].values(item, "ada")).data()
    with pytest.raises(ValueError, match=words):
        form_of(data | change)


@pytest.mark.parametrize("options", ["one", [["a", "b"]], [{"key": "a"}], [{"key": 1, "text": ""}]])
def test_options_that_are_none_are_refused(options):
    item = items.find("sizing-smallest-adequate")
    data = item.form(RELEASES["catheter-sizing"].values(item, "ada")).data()
    with pytest.raises(ValueError, match="not a form: options"):
        form_of(data | {"options": options})


def test_every_kind_is_asked_somewhere_and_listed_under_its_name():
    asked = {item.kind for listed in items.WORKSHEETS.values() for item in listed}
    assert asked == set(KINDS) - {"code"}  # which departments' own items alone are of
    for name, kind in KINDS.items():
        assert kind.form.kind == kind.item.kind == name
