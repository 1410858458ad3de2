"""Changes of the release, of the hand-in's note and of the time stamp."""

import hashlib
import random
from typing import Any

from cubital.handin.results import HELD, MARKED, MISSING, UNREADABLE

from .given import ANSWERS, ASKED, NOTE, NOTEBOOK, RELEASE, TIMESTAMP, HandIn, mutant

ODD_IDS = (
    "",
    "*",
    "../gradebook",
    "a/b",
    "learner 1",
    "x" * 500,
    ".hidden",
    "a\0b",
    "\u202elearner",
)


@mutant(MARKED)
def points_of_the_release_changed(given: HandIn, draw: random.Random) -> None:
    release = given.data(RELEASE)
    for row in release["items"].values():
        row["points"] = draw.choice((1000, 0, -2, 1e300))
    given.put(RELEASE, release)


@mutant(MARKED)
def items_of_the_release_changed(given: HandIn, draw: random.Random) -> None:
    release = given.data(RELEASE)
    for item in draw.sample(ASKED, 6):
        del release["items"][item]
    release["items"]["light-band-width"] = {"version": 99, "points": 1000}
    release |= {"feedback": "at once", "attempt": 7, "edition": "0", "off": ["sizing-french"]}
    given.put(RELEASE, release)


@mutant(HELD, "it answers release")
def release_of_another_name(given: HandIn, draw: random.Random) -> None:
    name = draw.choice(("autumn-2", "", "../autumn-1", "AUTUMN-1"))
    given.put(RELEASE, given.data(RELEASE) | {"name": name})


@mutant(HELD, "it answers release")
def release_of_another_worksheet(given: HandIn, draw: random.Random) -> None:
    worksheet = draw.choice(("light-and-depth", "", "../x"))
    given.put(RELEASE, given.data(RELEASE) | {"worksheet": worksheet})


@mutant(UNREADABLE, "release.json cannot be used")
def release_truncated(given: HandIn, draw: random.Random) -> None:
    whole = given.files[RELEASE].rstrip()
    given.files[RELEASE] = whole[: draw.randrange(1, len(whole) - 1)]


@mutant(UNREADABLE, "release.json cannot be used")
def release_lacks_a_part(given: HandIn, draw: random.Random) -> None:
    release = given.data(RELEASE)
    del release[draw.choice(("format", "name", "worksheet", "items", "policy", "feedback"))]
    given.put(RELEASE, release)


@mutant(UNREADABLE, "release.json cannot be used")
def release_parts_of_another_type(given: HandIn, draw: random.Random) -> None:
    odd: tuple[dict[str, Any], ...] = (
        {"items": [1]},
        {"items": {"sizing-french": {"version": 1e400, "points": 2}}},
        {"items": {"sizing-french": {"version": "one", "points": 2}}},
        {"policy": [1]},
        {"pictures": {"sizing-french": 7}},
        {"own": {"sizing-french": {"file": "own.py"}}},
        {"attempt": "first"},
        {"attempt": 1e400},
        {"format": "cubital-release/2"},
    )
    given.put(RELEASE, given.data(RELEASE) | draw.choice(odd))


@mutant(UNREADABLE, "release.json")
def figures_of_the_release_changed(given: HandIn, draw: random.Random) -> None:
    release = given.data(RELEASE)
    odd = draw.choice((1e400, "all", None, [0.45], -1))
    release["policy"]["ratio_limit"] = odd
    given.put(RELEASE, release)


@mutant(MARKED)
def release_left_out(given: HandIn, draw: random.Random) -> None:
    del given.files[RELEASE]


@mutant(UNREADABLE, "was changed after the hand-in")
def sums_changed(given: HandIn, draw: random.Random) -> None:
    name = draw.choice(sorted(given.files))
    given.note["sha256"] = {
        file: "0" * 64 if file == name else _sum(data) for file, data in given.files.items()
    }


@mutant(UNREADABLE, "was changed after the hand-in")
def sums_left_out(given: HandIn, draw: random.Random) -> None:
    given.note["sha256"] = draw.choice(({}, {NOTE: "0"}, {NOTEBOOK: [_sum(given.files[NOTEBOOK])]}))


@mutant(UNREADABLE, "was changed after the hand-in")
def files_changed_after_the_sums(given: HandIn, draw: random.Random) -> None:
    sums = {file: _sum(data) for file, data in given.files.items()}
    name = draw.choice(sorted(given.files))
    given.files[name] += draw.choice((b" ", b"\n", b"\0"))
    given.note["sha256"] = sums


@mutant(UNREADABLE, "was not made by “cubital hand-in”")
def note_lacks_a_part(given: HandIn, draw: random.Random) -> None:
    del given.note[draw.choice(("format", "learner", "worksheet", "release", "at"))]


@mutant(UNREADABLE, "was not made by “cubital hand-in”")
def note_parts_of_another_type(given: HandIn, draw: random.Random) -> None:
    part = draw.choice(("format", "learner", "worksheet", "release", "at", "sha256"))
    given.note[part] = draw.choice((7, None, ["x"], True))


@mutant(UNREADABLE, "handin.json")
def note_no_note(given: HandIn, draw: random.Random) -> None:
    deep = b'{"a":' * 100_000 + b"1" + b"}" * 100_000
    given.note = draw.choice((b"", b"{", b"[]", b"7", deep, b'"\\ud800"', b"\xff\xfe{}", b"NaN"))


@mutant(UNREADABLE, "has format")
def note_of_another_format(given: HandIn, draw: random.Random) -> None:
    given.note["format"] = draw.choice(("cubital-handin/2", "", "cubital-answers/1"))


@mutant(UNREADABLE, "which is not taken")
def note_of_another_worksheet(given: HandIn, draw: random.Random) -> None:
    given.note["worksheet"] = draw.choice(("light-and-depth", "", "../catheter-sizing"))


@mutant(HELD, "which this course does not have")
def note_and_notebook_of_an_unknown_worksheet(given: HandIn, draw: random.Random) -> None:
    name = draw.choice(("no-such-worksheet", "../catheter-sizing", "CATHETER-SIZING"))
    given.files[f"{name}.ipynb"] = given.files.pop(NOTEBOOK)
    given.note["worksheet"] = name


@mutant(MISSING, "is not on the roster")
def note_of_a_stranger(given: HandIn, draw: random.Random) -> None:
    given.note["learner"] = draw.choice(("stranger", "learner-999", "Zoe"))


@mutant(UNREADABLE)
def note_of_an_odd_id(given: HandIn, draw: random.Random) -> None:
    given.note["learner"] = draw.choice(ODD_IDS)


@mutant(MISSING)
def note_of_another_dated_before(given: HandIn, draw: random.Random) -> None:
    whose = [one.learner for one in given.others if one.learner.startswith("honest")]
    given.note |= {"learner": draw.choice(whose), "at": "2020-01-01T00:00:00+00:00"}


@mutant(UNREADABLE, "handin.json in it")
def note_of_no_time(given: HandIn, draw: random.Random) -> None:
    odd = ("", "yesterday", "9999-12-31T23:59:59-23:59", "0001-01-01T00:00+23:59", "x" * 9_999)
    given.note["at"] = draw.choice((*odd, "2021-02-30T08:00:00+00:00", "1970-01-01T00:00:00Z"))


@mutant(MARKED, "which is after it arrived")
def note_of_a_time_to_come(given: HandIn, draw: random.Random) -> None:
    given.note["at"] = draw.choice(("2999-12-31T23:59:59+00:00", "2500-06-01 12:00:00 UTC"))


@mutant(MARKED)
def note_of_another_release(given: HandIn, draw: random.Random) -> None:
    given.note["release"] = draw.choice(("autumn-2", "", "../x", "x" * 9_999))


@mutant(MARKED)
def note_says_more(given: HandIn, draw: random.Random) -> None:
    given.note |= {"points": 1000, "state": "marked", "results": dict.fromkeys(ASKED, 2)}


@mutant(MARKED)
def stamp_changed(given: HandIn, draw: random.Random) -> None:
    given.files[TIMESTAMP] = draw.choice(
        (b"", b"2999-01-01 00:00:00 UTC", b"\xff\xfe", b"x" * 9999)
    )


@mutant(MARKED)
def stamp_placed_that_is_no_time(given: HandIn, draw: random.Random) -> None:
    """What says no time comes before what was collected with one, which counts as before."""
    odd = (b"", b"yesterday", b"\xff\xfe", b"2021-03-04 08:00 UTC" + b" " * 99, b"-1", b"1e400")
    years = (b"9999-12-31T23:59:59-23:59", b"0001-01-01T00:00+23:59", b"1999-12-31 23:59 UTC")
    given.placed[TIMESTAMP] = draw.choice((*odd, *years, "２０２１-03-04 08:00 UTC".encode()))


@mutant(MARKED)
def stamp_placed_of_another_time(given: HandIn, draw: random.Random) -> None:
    times = (b"2030-01-01 00:00:00 UTC", b"2000-01-01T00:00+14:00\n", b"2999-06-01 12:00:00.5")
    given.placed[TIMESTAMP] = draw.choice(times)


@mutant(UNREADABLE, "which is not taken")
def files_more_than_a_hand_in_has(given: HandIn, draw: random.Random) -> None:
    names = ("papers.json", "own-ratio.py", "keys.json", ".bashrc", "gradebook.db", "x.ipynb")
    given.files[draw.choice(names)] = given.files[ANSWERS]


@mutant(UNREADABLE, f"there is no {NOTEBOOK}")
def notebook_left_out(given: HandIn, draw: random.Random) -> None:
    del given.files[NOTEBOOK]


def _sum(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
