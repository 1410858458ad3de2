"""What is due when, as rows of words, and as a table in a notebook."""

from datetime import UTC, datetime
from html import escape
from pathlib import Path
from typing import Any

from cubital import tables
from cubital.refresh.choosing import can_be_refreshed
from cubital.refresh.reviews import ReviewLog, read_reviews
from cubital.refresh.schedule import Standing, standings

NOT_BEGUN = "not begun"
NOTE = (
    "The dates are for knowledge: when a question on it is due again. They say nothing on "
    "competence, which only a named assessor sets, from practice that they observed."
)
_LAST = datetime.max.replace(tzinfo=UTC)


def here_and_now() -> datetime:
    """Return the present time in this computer's zone."""
    return datetime.now(UTC).astimezone()


def standings_of(log: ReviewLog, now: datetime) -> tuple[Standing, ...]:
    """Return how a learner stands in every objective that can be refreshed, in teaching order."""
    return standings(can_be_refreshed(tables.curriculum().objectives), log.reviews, now)


def due_rows(found: tuple[Standing, ...], now: datetime) -> list[tuple[str, str]]:
    """Return the date or words, and the title of each objective: first what is due first."""
    rows = sorted(found, key=lambda one: one.due or _LAST)
    return [(_when(one, now), one.objective.title) for one in rows]


def what_is_due(folder: Path | None = None) -> Any:
    """Show when each objective is due, with a button that looks again.

    Parameters
    ----------
    folder
        The folder of the session, which lies in the learner's; by default the working folder.
    """
    import ipywidgets  # noqa: PLC0415 - the command line does without

    learners = (folder or Path.cwd()).resolve().parent
    button = ipywidgets.Button(
        description="Show what is due now", layout=ipywidgets.Layout(width="16rem", height="auto")
    )
    table = ipywidgets.HTML(_table(learners))

    def look(_button: Any) -> None:
        table.value = _table(learners)

    button.on_click(look)
    return ipywidgets.VBox([button, table])


def _table(learners: Path) -> str:
    now = here_and_now()
    try:
        rows = due_rows(standings_of(read_reviews(learners, learners.name), now), now)
    except ValueError as error:
        return f"<div role='status'><p>{escape(str(error))}</p></div>"
    lines = "".join(
        f"<tr><th scope='row' style='text-align: left; font-weight: normal'>{escape(title)}</th>"
        f"<td>{escape(when)}</td></tr>"
        for when, title in rows
    )
    return (
        "<div role='status'><table><caption>When each objective is due</caption>"
        "<thead><tr><th scope='col' style='text-align: left'>Objective</th>"
        f"<th scope='col'>Due</th></tr></thead><tbody>{lines}</tbody></table>"
        f"<p>{escape(NOTE)}</p></div>"
    )


def _when(one: Standing, now: datetime) -> str:
    if one.due is None:
        return NOT_BEGUN
    day = one.due.astimezone(now.tzinfo).date()
    if day == now.date():
        return "today"
    return f"since {day}" if day < now.date() else f"{day}"
