"""What is due when, by lesson: as a table of a form, or as lines of text."""

from datetime import UTC, date, datetime
from typing import Any

from cubital import tables
from cubital.refresh.choosing import can_be_refreshed, items_of
from cubital.refresh.critical import LocalDays, critical_rule, local_days
from cubital.refresh.reviews import ReviewLog
from cubital.refresh.schedule import Standing, standings
from cubital.tables.course import lessons

_NOTE = (
    "The dates are for knowledge: when a question on it is due again. They say nothing on "
    "competence, which only a named assessor sets, from practice that they observed."
)


def note(local: LocalDays | None = None) -> str:
    """Say what the dates are for, and whose rule it is for what must be right to pass."""
    local = local or local_days()
    return (
        f"{_NOTE} A question that must be right to pass is due after {local.due_days} days at the "
        f"latest, and late {local.grace_days} days after that; approved by: {local.approved_by}, "
        f"{day(date.fromisoformat(local.approved_on))}."
    )


def here_and_now() -> datetime:
    """Return the present time in this computer's zone."""
    return datetime.now(UTC).astimezone()


def standings_of(
    log: ReviewLog, now: datetime, local: LocalDays | None = None
) -> tuple[Standing, ...]:
    """Return how a learner stands in every objective that can be refreshed, in teaching order.

    ``local`` are the days that hold for the learner, those that ship if not given.
    """
    able = can_be_refreshed(tables.curriculum().objectives)
    asked = (item for objective in able for item in items_of(objective))
    rule = critical_rule(asked, local)
    return standings(able, log.reviews, now, rule=rule)


def in_lessons(
    found: tuple[Standing, ...], now: datetime, local: LocalDays | None = None
) -> dict[str, Any]:
    """Return a table of a form, a row a lesson: how many are due, kept, not begun, and what next.

    An objective is kept if it was begun and is not due. Beside what is due stands how much of it
    is late.
    """
    rows = []
    for lesson in lessons():
        own = [one for one in found if one.objective.lesson == lesson.name]
        if not own:
            continue
        due = sum(one.is_due(now) for one in own)
        fresh = sum(one.due is None for one in own)
        ahead = [one.due for one in own if one.due is not None and not one.is_due(now)]
        following = f"{day(min(ahead).astimezone(now.tzinfo).date())}" if ahead else "-"
        late = sum(one.is_late(now) for one in own)
        told = f"{due} ({late} late)" if late else str(due)
        cells = (lesson.title, told, str(len(own) - due - fresh), str(fresh), following)
        rows.append([{"text": text} for text in cells])
    head = ["Lesson", "Knowledge due", "Kept", "Not begun", "Next due"]
    return {"kind": "table", "caption": note(local), "head": head, "rows": rows}


def day(date: date) -> str:
    """Say a day as people do."""
    return f"{date.day} {date:%B %Y}"


def in_lines(found: tuple[Standing, ...], now: datetime, local: LocalDays | None = None) -> str:
    """Return the same table as lines of text."""
    table = in_lessons(found, now, local)
    rows = [table["head"], *([cell["text"] for cell in row] for row in table["rows"])]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = ["  ".join(map(str.ljust, row, widths)).rstrip() for row in rows]
    return "\n".join([*lines, "", note(local)])
