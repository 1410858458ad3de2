"""A session on the page: one question at a time, and at the end what was kept and what comes."""

from datetime import datetime
from pathlib import Path
from typing import Any

from cubital.forms.following import follow
from cubital.forms.form import Block, CourseForm, say
from cubital.handin.released.release import read_release
from cubital.refresh.critical import local_days
from cubital.refresh.due import day, here_and_now, in_lessons, standings_of
from cubital.refresh.reviews import FILE, ReviewLog, objective_of, read_reviews, review_id

_MAP = "../lessons/00-start-here.ipynb"
_SKIPPED = "when you refresh next"


class Session(CourseForm):
    """Leads through the questions of a session; the first answer to each is in the log."""

    def __init__(self, folder: Path | None = None) -> None:
        folder = (folder or Path.cwd()).resolve()
        self.release = read_release(folder)
        self.items = tuple(self.release.listed())
        self.at = 0
        self.learner = folder.parent
        log = read_reviews(self.learner, self.learner.name)
        self.at = next((n for n, item in enumerate(self.items) if not self._has(log, item.id)), 0)
        if all(self._has(log, item.id) for item in self.items):
            self.at = len(self.items)
        super().__init__(folder)
        follow(self.learner / FILE, self)

    def draw(self) -> list[Block]:
        """The step, and the way to the next; after the last, the summary."""
        log = read_reviews(self.learner, self.learner.name)
        steps: Block = {
            "kind": "steps",
            "steps": [[f"{item.id}-heading", item.id] for item in self.items],
            "at": self.at,
        }
        if self.at >= len(self.items):
            return [steps, *self._summary(log)]
        answered = self._has(log, self.items[self.at].id)
        last = self.at == len(self.items) - 1
        words = "To the summary" if last else "Next question"
        if not answered:
            words = "Skip it: it is asked again"
        blocks = [
            steps,
            say(f"Question {self.at + 1} of {len(self.items)}", kind="quiet"),
            _button("next", words, second=not answered),
        ]
        return blocks if self.at == 0 else [*blocks, _button("back", "Back", second=True)]

    def take(self, name: str, value: Any) -> str:
        """Go on or back by a question."""
        self.at = min(max(self.at + (1 if name == "next" else -1), 0), len(self.items))
        return "Summary" if self.at == len(self.items) else f"Question {self.at + 1}"

    def _has(self, log: ReviewLog, item: str) -> bool:
        return log.has(review_id(self.release.name, item))

    def _summary(self, log: ReviewLog) -> list[Block]:
        now = here_and_now()
        local = local_days(self.learner)
        found = standings_of(log, now, local)
        due = {one.objective.key: one.due for one in found}
        reviews = {one.id: one for one in log.reviews}
        rows, kept, answered = [], 0, 0
        for item in self.items:
            review = reviews.get(review_id(self.release.name, item.id))
            right = review is not None and review.outcome == "right"
            kept += right
            answered += review is not None
            told = "✓ right" if right else "not right yet" if review else "skipped"
            when = due.get(objective_of(item.id) or "")
            again = _day(when, now) if review is not None and when is not None else _SKIPPED
            rows.append([{"text": text} for text in (item.title, told, again)])
        count = f"{kept} of {answered} answered right at the first try." if answered else ""
        table = {
            "kind": "table",
            "caption": "What you answered, and when a question on the same is due",
            "head": ["Question", "You", "Knowledge due"],
            "rows": rows,
        }
        listed = in_lessons(found, now, local)
        return [
            {"kind": "heading", "level": 2, "text": "That was it for today"},
            say(count, kind="strong"),
            table,
            {"kind": "details", "summary": "All lessons: what is due when", "blocks": [listed]},
            {"kind": "link", "words": "To the first page", "href": _MAP},
            _button("back", "Back to the questions", second=True),
        ]


def session() -> Session:
    """Show the way through the session that lies in the working folder."""
    return Session()


def _button(name: str, words: str, *, second: bool) -> Block:
    return {"kind": "button", "name": name, "words": words, "second": second}


def _day(due: datetime, now: datetime) -> str:
    date = due.astimezone(now.tzinfo).date()
    return "today" if date <= now.date() else day(date)
