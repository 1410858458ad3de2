"""Changes of the saved answers: whose they are, of which paper, and what stands in them."""

import random
from typing import Any

from cubital.handin.results import HELD, MARKED, UNREADABLE

from .given import ANSWERS, ANY, ASKED, CHOICES, LINE, NUMBERS, TEXT, HandIn, Items, mutant

FORM = "is not of this item's form"
COPY = "given to other values than those of this learner's paper"
PLACE = 123454321  # where a number is put that Python would not write
OF_ANOTHER_PAPER = {item: ("waiting refused", COPY) for item in ASKED if item != LINE}


def answered(given: HandIn, item: str, answer: Any) -> None:
    """Put an answer in place of the honest one."""
    answers = given.data(ANSWERS)
    answers["items"][item][-1]["answer"] = answer
    given.put(ANSWERS, answers)


def told(given: HandIn, **parts: Any) -> None:
    """Change what stands at the head of the answers."""
    given.put(ANSWERS, given.data(ANSWERS) | parts)


@mutant(HELD, "the answers were saved by")
def answers_of_another_learner(given: HandIn, draw: random.Random) -> None:
    told(given, learner=draw.choice((draw.choice(given.others).learner, "", "nobody", "../x")))


@mutant(HELD, "the answers were saved by")
def answers_copied_whole(given: HandIn, draw: random.Random) -> None:
    given.files[ANSWERS] = draw.choice(given.others).files[ANSWERS]


@mutant(MARKED)
def answers_copied_under_ones_own_name(given: HandIn, draw: random.Random) -> Items:
    given.files[ANSWERS] = draw.choice(given.others).files[ANSWERS]
    told(given, learner=given.learner)
    return OF_ANOTHER_PAPER


@mutant(MARKED, loose=True)
def answers_copied_onto_ones_own_paper(given: HandIn, draw: random.Random) -> None:
    given.files[ANSWERS] = draw.choice(given.others).files[ANSWERS]
    told(given, learner=given.learner, paper=given.paper)


@mutant(MARKED)
def paper_of_another(given: HandIn, draw: random.Random) -> Items:
    told(given, paper=draw.choice(given.others).paper)
    return OF_ANOTHER_PAPER


@mutant(MARKED)
def paper_that_is_nobodys(given: HandIn, draw: random.Random) -> Items:
    odd = (
        "",
        "0",
        "-1",
        "999999",
        f"described-{given.paper}",
        f" {given.paper}",
        "../8",
        "x" * 9999,
    )
    told(given, paper=draw.choice(odd))
    return OF_ANOTHER_PAPER


@mutant(MARKED)
def paper_not_named(given: HandIn, draw: random.Random) -> Items:
    answers = given.data(ANSWERS)
    del answers["paper"]
    given.put(ANSWERS, answers)
    return OF_ANOTHER_PAPER


@mutant(UNREADABLE, "stands where a word is expected")
def paper_of_another_type(given: HandIn, draw: random.Random) -> None:
    told(given, paper=draw.choice((int(given.paper), None, [given.paper], True)))


@mutant(HELD, "it answers release")
def answers_to_another_release(given: HandIn, draw: random.Random) -> None:
    told(given, release=draw.choice(("autumn-2", "AUTUMN-1", "", "../autumn-1", "practice")))


@mutant(HELD, "it answers release")
def answers_to_another_worksheet(given: HandIn, draw: random.Random) -> None:
    told(given, worksheet=draw.choice(("light-and-depth", "", "../catheter-sizing")))


@mutant(MARKED)
def options_of_another_question(given: HandIn, draw: random.Random) -> Items:
    wanted = draw.choice(CHOICES)
    odd = ("k9", "k0", "", "K1", "k1 ", 1, None, ["k1"], {"k1": 1}, True, "22 G", "all of these")
    answered(given, wanted, {"choice": draw.choice(odd)})
    return {wanted: ("refused", ANY)}


@mutant(MARKED)
def answers_of_another_kind(given: HandIn, draw: random.Random) -> Items:
    wanted = draw.choice((*NUMBERS, *CHOICES))
    odd: list[Any] = [{}, {"text": "right"}, {"order": ["k1"]}, {"results": [1.0]}]
    odd.append({"choice": "k1"} if wanted in NUMBERS else {"number": 1.0, "typed": "1"})
    answered(given, wanted, draw.choice(odd))
    return {wanted: ("refused", FORM)}


@mutant(UNREADABLE, "is not a number that is taken here")
def numbers_that_json_lacks(given: HandIn, draw: random.Random) -> None:
    number = draw.choice((b"NaN", b"Infinity", b"-Infinity"))
    answered(given, draw.choice(NUMBERS), {"number": PLACE, "typed": "1"})
    given.files[ANSWERS] = given.files[ANSWERS].replace(str(PLACE).encode(), number)


@mutant(MARKED)
def numbers_of_another_type(given: HandIn, draw: random.Random) -> Items:
    changed: dict[str, tuple[str, str]] = {}
    for item in draw.sample(NUMBERS, draw.randint(1, 9)):
        odd = (True, False, "1", "right", "", [1.0], [], {"number": 1}, None)
        answered(given, item, {"number": draw.choice(odd), "typed": "1"})
        changed[item] = ("refused", FORM)
    return changed


@mutant(MARKED)
def numbers_beyond_all(given: HandIn, draw: random.Random) -> Items:
    item, number = draw.choice(NUMBERS), draw.choice(("1e400", "-1e400", "1" + "0" * 400))
    answered(given, item, {"number": PLACE, "typed": "1"})
    given.files[ANSWERS] = given.files[ANSWERS].replace(str(PLACE).encode(), number.encode())
    return {item: ("refused", FORM)}


@mutant(UNREADABLE, "cannot be read")
def numbers_of_too_many_digits(given: HandIn, draw: random.Random) -> None:
    answered(given, draw.choice(NUMBERS), {"number": PLACE, "typed": "1"})
    digits = b"9" * draw.choice((4_301, 100_000))
    given.files[ANSWERS] = given.files[ANSWERS].replace(str(PLACE).encode(), digits)


@mutant(MARKED)
def numbers_far_off(given: HandIn, draw: random.Random) -> Items:
    item = draw.choice(NUMBERS)
    answered(given, item, {"number": draw.choice((0, -1, 1e308, -1e308, 5e-324)), "typed": "1"})
    return {item: ("wrong slip", ANY)}


@mutant(MARKED)
def typed_otherwise_than_counted(given: HandIn, draw: random.Random) -> Items:
    items = [one for one in NUMBERS if one != "sizing-french"]
    item = draw.choice(items)
    right = given.data(ANSWERS)["items"][item][-1]["answer"]
    odd = (right["typed"], 7, None, ["1"], "x" * 50_000, "<b>right</b>")
    answered(given, item, {"number": 77_777.7, "typed": draw.choice(odd)})
    return {item: ("wrong slip refused", ANY)}


@mutant(UNREADABLE, "half a character")
def answers_with_half_a_character(given: HandIn, draw: random.Random) -> None:
    half = draw.choice(("\ud800", "dark \udfff band"))
    answered(given, draw.choice((TEXT, *CHOICES)), {"text": half, "choice": half})


@mutant(MARKED)
def text_huge(given: HandIn, draw: random.Random) -> Items:
    answered(given, TEXT, {"text": draw.choice(("dark ", "\u202e", "~~~\n", "\0")) * 100_000})
    return {TEXT: ("waiting refused", ANY)}


@mutant(UNREADABLE, "at most 2000000 are read")
def answers_too_large(given: HandIn, draw: random.Random) -> None:
    answered(given, TEXT, {"text": "x" * 2_000_000})


@mutant(MARKED)
def text_of_another_type(given: HandIn, draw: random.Random) -> Items:
    odd: tuple[Any, ...] = (7, None, ["a"], {"a": 1}, True, "", "   ")
    answered(given, TEXT, {"text": draw.choice(odd), "points": 3})
    return {TEXT: ("refused waiting", ANY)}


@mutant(MARKED)
def entries_of_unknown_items(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    for item in ("no-such-item", "../../gradebook", "", "light-band-width", "ratio-line"):
        answers["items"][item] = [{"at": "now", "answer": {"number": 1, "points": 1000}}]
    given.put(ANSWERS, answers)


@mutant(MARKED)
def results_beside_answers(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    full = {"outcome": "right", "points": 2.0, "max_points": 2.0, "manual": True}
    answers |= {"results": dict.fromkeys(ASKED, full), "points": 1000, "state": "marked"}
    for entries in answers["items"].values():
        entries[-1] |= full | {"key": {"right": 1}, "tolerance": 1e9}
        if "number" in entries[-1]["answer"]:
            entries[-1]["answer"] |= full | {"right": True, "tolerance": 1e9}
    given.put(ANSWERS, answers)


@mutant(MARKED)
def values_beside_answers(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    for entries in answers["items"].values():
        entries[-1]["values"] = draw.choice(({"gauge": 22}, {"paper": given.paper}, {"a": [1]}))
    given.put(ANSWERS, answers)


@mutant(MARKED)
def results_for_the_line(given: HandIn, draw: random.Random) -> Items:
    answers = given.data(ANSWERS)
    odd: tuple[Any, ...] = ({"results": [0.4]}, {"right": True}, {"expression": 7}, {})
    answers["items"][LINE] = [{"at": "now", "answer": draw.choice(odd)}]
    given.put(ANSWERS, answers)
    return {LINE: ("refused", ANY)}


@mutant(UNREADABLE, "the saved answers cannot be read")
def answers_lack_a_part(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    del answers[draw.choice(("format", "release", "worksheet", "learner", "items"))]
    given.put(ANSWERS, answers)


@mutant(UNREADABLE, "the saved answers cannot be read")
def entry_lacks_a_part(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    del answers["items"][draw.choice(NUMBERS)][-1][draw.choice(("at", "answer"))]
    given.put(ANSWERS, answers)


@mutant(UNREADABLE, "the saved answers cannot be read")
def answers_parts_of_another_type(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    part = draw.choice(("format", "release", "worksheet", "learner", "items"))
    answers[part] = draw.choice((7, None, ["x"], True))
    given.put(ANSWERS, answers)


@mutant(UNREADABLE, "the saved answers cannot be read")
def entries_of_another_type(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    answers["items"][draw.choice(NUMBERS)] = draw.choice(
        (7, None, "x", [7], [None], ["x"], {"a": 1})
    )
    given.put(ANSWERS, answers)


@mutant(MARKED)
def entries_emptied(given: HandIn, draw: random.Random) -> Items:
    answers = given.data(ANSWERS)
    gone = draw.sample((*NUMBERS, *CHOICES), 3)
    for item in gone:
        answers["items"][item] = draw.choice(([], {}))
    given.put(ANSWERS, answers)
    return dict.fromkeys(gone, ("blank", ANY))


@mutant(MARKED)
def entries_before_the_one_that_counts(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    for entries in answers["items"].values():
        tries = ({"number": 1.0}, {"choice": "k1"}, {})
        entries[:0] = [{"at": "2999", "answer": answer} for answer in tries] * draw.randint(1, 50)
    given.put(ANSWERS, answers)


@mutant(MARKED)
def entries_dated_otherwise(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    for entries in answers["items"].values():
        entries[-1]["at"] = draw.choice(("2999-01-01T00:00:00+00:00", "0000", "", "yesterday"))
    given.put(ANSWERS, answers)


@mutant(UNREADABLE, "stands where a word is expected")
def entries_dated_by_a_number(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    answers["items"][draw.choice(NUMBERS)][-1]["at"] = draw.choice((7, None, [2021], 1e400))
    given.put(ANSWERS, answers)


@mutant(UNREADABLE, "the saved answers cannot be read")
def surer_than_sure(given: HandIn, draw: random.Random) -> None:
    answers = given.data(ANSWERS)
    sure = draw.choice((7, -1, "1", True, [0.5], 1e400))
    answers["items"][draw.choice(NUMBERS)][-1]["confidence"] = sure
    given.put(ANSWERS, answers)


@mutant(UNREADABLE, "answers.json is not whole")
def answers_truncated(given: HandIn, draw: random.Random) -> None:
    whole = given.files[ANSWERS]
    given.files[ANSWERS] = whole[: draw.randrange(1, len(whole) - 1)]


@mutant(UNREADABLE, "nested too deeply")
def answers_deep(given: HandIn, draw: random.Random) -> None:
    depth = draw.choice((101, 900, 100_000))
    deep = b"[" * depth + b"]" * depth
    given.files[ANSWERS] = given.files[ANSWERS].replace(b"{", b'{"deep":' + deep + b",", 1)


@mutant(UNREADABLE, "the saved answers cannot be read")
def answers_of_another_format(given: HandIn, draw: random.Random) -> None:
    told(given, format=draw.choice(("cubital-answers/2", "", "cubital-handin/1")))


@mutant(MARKED, loose=True)
def answers_left_out(given: HandIn, draw: random.Random) -> None:
    del given.files[ANSWERS]
