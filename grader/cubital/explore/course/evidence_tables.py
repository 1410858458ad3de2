"""What is known of first attempts with near-infrared light, in tables to be read."""

from collections.abc import Callable
from datetime import date

from cubital import tables
from cubital.explore.kit.table import LessonTable
from cubital.tables import course
from cubital.tables.course import Finding

_CAPTIONS = {
    "children": "Children in general",
    "difficult": "Difficult veins",
    "adults": "Adults in general",
    "ultrasound": "Ultrasound beside near-infrared light and the usual way",
}
_COLUMNS = ("Compared", "Found", "What that says", "What it could not say", "Source")
_SEEN = {
    "read": "seen in full",
    "abstract": "seen in abstract only",
    "second-hand": "as quoted by others",
    "memory": "from memory",
}
_SHARES = {
    "success": "A share: compare the rows of this trial",
    "range": "No difference shown among the groups",
}
_NO_EFFECT = {"failing": 1.0, "succeeding": 1.0, "points": 0.0, "attempts": 0.0}
_MORE_IS_BETTER = {"failing": False, "succeeding": True, "points": True, "attempts": False}


def evidence_table(group: str) -> LessonTable:
    """The findings on one group of patients, each with its interval and its limits.

    Raises
    ------
    ValueError
        There is no such group; the text names those there are.
    """
    if group not in course.EVIDENCE_GROUPS:
        known = ", ".join(course.EVIDENCE_GROUPS)
        raise ValueError(f"the group is {group!r}: it must be one of {known}")
    rows = [row for row in course.evidence().values() if row.group == group]
    return LessonTable(
        caption=f"{_CAPTIONS[group]}: the first attempt",
        columns=_COLUMNS,
        rows=tuple(
            (_capital(row.words), found(row), reading(row), row.could_not_say, _source(row))
            for row in rows
        ),
        note=f"Looked up on {_day(max(row.looked_on for row in rows))}. "
        "In brackets: the 95 % interval.",
    )


def found(row: Finding) -> str:
    """Return the effect of a finding with its interval, in words."""
    low, high = row.low, row.high
    if row.measure == "range":
        return f"{_percent(low)} to {_percent(high)} succeeded"
    if row.measure == "success":
        return f"{_percent(row.value)} succeeded{_interval(row, _percent)}{_of(row)}"
    if row.measure == "points":
        return f"{_points(row.value)} of 100{_interval(row, _points)}"
    if row.measure == "attempts":
        return f"{abs(row.value or 0):g} {'fewer' if (row.value or 0) < 0 else 'more'} a child" + (
            _interval(row, "{:g}".format)
        )
    verb = "failed" if row.measure == "failing" else "succeeded"
    return f"{verb} {row.value:.2f} times as often{_interval(row, '{:.2f}'.format)}{_of(row)}"


def reading(row: Finding) -> str:
    """Return what the interval of a finding says and does not say."""
    if row.measure in _SHARES:
        return _SHARES[row.measure]
    if row.low is None or row.high is None:
        return "No interval, so chance cannot be judged"
    none = _NO_EFFECT[row.measure]
    if row.low <= none <= row.high:
        return "No difference shown: help and harm both lie in the interval"
    better = (row.low > none) == _MORE_IS_BETTER[row.measure]
    first = _capital(row.words.partition(" over ")[0]) if " over " in row.words else "The first"
    return f"{first} did {'better' if better else 'worse'}, beyond chance"


def _interval(row: Finding, write: Callable[[float], str]) -> str:
    if row.low is None or row.high is None:
        return "; no interval in the abstract"
    return f" ({write(row.low)} to {write(row.high)})"


def _of(row: Finding) -> str:
    """Return the counts that an effect was worked out of."""
    if row.events is None:
        return ""
    counts = f": {row.events:.0f} of {row.total:.0f}"
    if row.control_events is None:
        return counts
    return f"{counts} and {row.control_events:.0f} of {row.control_total:.0f}"


def _percent(share: float | None) -> str:
    return f"{100 * (share or 0):.1f} %"


def _points(share: float | None) -> str:
    share = share or 0
    return f"{abs(100 * share):.1f} {'fewer' if share < 0 else 'more'}"


def _source(row: Finding) -> str:
    year = tables.bibliography()[row.source].year
    searched = f"; its search ended on {_day(row.searched)}" if row.searched else ""
    return f"{row.source} ({year}), {_SEEN[row.seen]}{searched}"


def _day(text: str) -> str:
    day = date.fromisoformat(text)
    return f"{day.day} {day:%B %Y}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
