"""Marks as a CSV table that a spreadsheet can open without harm."""

import csv
import io
import re
import unicodedata
from functools import lru_cache

from cubital.handin.principles.standing import OPEN
from cubital.handin.results import ItemResult
from cubital.records.cohort import Cohort, Learner

# A double click in a hospital's spreadsheet takes a file without this mark for the machine's old
# code page and garbles every name with an accent. Readers of UTF-8 skip it ("utf-8-sig").
BYTE_ORDER_MARK = "\ufeff"

_COURSE = ("state", "reason", "points", "max", "pass_mark", "standard_error")
_STANDING = ("", " passed", " what_to_do")
_FORMULA = "=+-@"
_BREAKS = re.compile(r"[\t\r\n\v\f\x1c-\x1f\x85\u2028\u2029]+")


def marks_csv(cohort: Cohort) -> str:
    """Return the table: one row a learner, all fields quoted, no field a formula.

    A learner who is not marked has empty mark cells, never 0; so has an item that waits for
    hand-marking, and the total with it. After the objectives each item has its state and reason,
    and one after the last that was answered is “not reached”; then stands of how many hand-ins
    which counts, and what to do where none is marked; then each principle with how the learner
    stands on it, whether it is passed (empty while it is not answered and marked) and what to do;
    last what the course decides.
    """
    file = io.StringIO()
    writer = csv.writer(file, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow([safe(name) for name in _header(cohort)])
    principles = _principles(cohort)
    for learner in cohort.learners:
        writer.writerow([safe(text) for text in _row(cohort, learner, principles)])
    return BYTE_ORDER_MARK + file.getvalue()


def _header(cohort: Cohort) -> list[str]:
    return [
        "learner",
        "name",
        "state",
        "reason",
        "submitted_at",
        *cohort.items,
        "points_so_far",
        "total",
        "max",
        "waiting_for_hand_marking",
        *(f"objective {row.key}" for row in cohort.objectives),
        *(f"{key} {part}" for key in cohort.items for part in ("state", "reason")),
        "attempt",
        "hand_ins",
        "which_counts",
        "what_to_do",
        *(f"principle {key}{part}" for key in _principles(cohort) for part in _STANDING),
        *(f"course_{part}" for part in _COURSE),
    ]


def _row(cohort: Cohort, learner: Learner, principles: list[str]) -> list[str]:
    result, rows = learner.result, learner.rows
    start = [learner.id, learner.name, result.state, result.reason, result.submitted_at]
    number = "" if result.attempt is None else str(result.attempt)
    stands = _stands(learner, principles)
    end = [number, str(result.hand_ins), result.counts, result.action, *stands, *_course(learner)]
    states = [row.state for row in learner.knowledge]
    if not learner.marked:
        unmarked = [""] * len(cohort.items)
        return [*start, *unmarked, *([""] * 4), *states, *unmarked, *unmarked, *end]
    asked = [rows.get(key) for key in cohort.items]
    told = [_told(row, learner) if row else ("", "") for row in asked]
    total = "" if result.waiting else f"{result.points:g}"
    return [
        *start,
        *("" if row is None or row.points is None else f"{row.points:g}" for row in asked),
        f"{result.points:g}",
        total,
        f"{result.max_points:g}",
        " ".join(result.waiting),
        *states,
        *(words for pair in told for words in pair),
        *end,
    ]


def _told(row: ItemResult, learner: Learner) -> tuple[str, str]:
    return "not reached" if row.item in learner.not_reached else row.state, row.reason


def _principles(cohort: Cohort) -> list[str]:
    """Return the principles that the worksheet asks for."""
    found = (one.principle for learner in cohort.learners for one in learner.principles)
    return list(dict.fromkeys(found))


def _stands(learner: Learner, principles: list[str]) -> list[str]:
    by_key = {one.principle: one for one in learner.principles}
    told: list[str] = []
    for key in principles:
        one = by_key.get(key)
        if one is None:  # who is not on the roster stands on none
            told += [""] * len(_STANDING)
        else:
            passed = "" if one.state == OPEN else "yes" if one.passed else "no"
            told += [one.in_words, passed, one.to_do]
    return told


def _course(learner: Learner) -> list[str]:
    decision = learner.decision
    if decision is None:
        return [""] * len(_COURSE)
    bounds = ("" if value is None else f"{value:.2f}" for value in (decision.cut, decision.error))
    points = (f"{decision.points:g}", f"{decision.of:g}")
    return [decision.state, decision.reason, *points, *bounds]


@lru_cache(maxsize=4096)  # most fields are one of a few words and numbers
def safe(text: str) -> str:
    """Return text that no spreadsheet takes for a formula: an apostrophe goes before it.

    Looked at is the first visible character, in any width; and what follows a semicolon, since
    a spreadsheet that separates fields by semicolons splits there. Tabs and line ends become
    spaces, with the apostrophe if they came first.
    """
    led = text[:1] and _BREAKS.match(text)
    flat = _BREAKS.sub(" ", text)
    parts = flat.split(";")
    safe_parts = [f"'{part}" if _starts_formula(part) else part for part in parts]
    joined = ";".join(safe_parts)
    return f"'{joined}" if led and not joined.startswith("'") else joined


def _starts_formula(text: str) -> bool:
    for character in text:
        if unicodedata.category(character) in {"Cc", "Cf", "Zs"} or character == '"':
            continue
        return unicodedata.normalize("NFKC", character)[0] in _FORMULA
    return False
