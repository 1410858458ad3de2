"""Make the feedback pages of a worksheet's marked hand-ins, each a text of HTML.

What the pages of one release share is read once, and the gradebook's marks and comments are given.
So a page costs the marked notebook, what the learner was asked, and the template filled in.
"""

import base64
import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from cubital.handin.bundle import TIMESTAMP_FILE
from cubital.handin.objectives import rule_of
from cubital.handin.passing import Decision
from cubital.handin.principles.retakes import is_retake
from cubital.handin.principles.standing import OPEN, Standing, attempt_at, standing
from cubital.handin.released.release import Release, read_release
from cubital.handin.released.sealed import read_made, release_answered
from cubital.handin.results import MARKED, ItemResult, SubmissionResult
from cubital.handin.standard import Standard, pass_mark_of
from cubital.items import Item, knowing
from cubital.marking.feedback import kept
from cubital.marking.feedback.page import Days, page
from cubital.marking.feedback.showing import Asked, shown
from cubital.marking.marks.hand_marks import Hand, comments, hands
from cubital.tables import Objective
from cubital.tables.files import style

_NO_HANDS: Mapping[str, Hand] = {}


class _Made(NamedTuple):
    """What the pages of one release share."""

    items: list[Item]
    objectives: tuple[Objective, ...]
    standard: Standard | None


class Pages:
    """Makes the pages of one worksheet; ``learner`` limits what is read of the gradebook to one.

    ``decisions`` is what the course decides by learner; a page says nothing of it where it is not
    known, as where nbgrader's own step makes it. ``principles`` tells by learner how they stand on
    those that the worksheet asks for.
    """

    def __init__(
        self,
        workspace: Path,
        worksheet: str,
        book: Any,
        learner: str | None = None,
        decisions: Mapping[str, Decision] | None = None,
        *,
        principles: Mapping[str, Sequence[Standing]],
    ) -> None:
        self._decisions = decisions or {}
        self._principles = principles
        self._workspace, self._worksheet = workspace, worksheet
        self._hands = hands(book, worksheet, learner)
        self._comments = comments(book, worksheet, learner)
        self._made: dict[str, _Made] = {}

    def page(self, learner: str) -> str:
        """Return a learner's page, by what lies in the folder of their marked hand-in.

        Raises
        ------
        ValueError, OSError
            The marked hand-in, its release or the workspace's rule cannot be read or used.
        """
        folder = self._workspace / "autograded" / learner / self._worksheet
        path = folder / f"{self._worksheet}.ipynb"
        notebook = json.loads(path.read_bytes())
        given = self._hands.get(learner, _NO_HANDS)
        answers = kept.own_answers(folder, learner)
        release = release_answered(self._workspace, read_release(folder), answers)
        asked = Asked.read(self._workspace, release, learner, answers)
        made = self._of(release)
        computed = kept.results(notebook, asked, given, self._workspace)
        with knowing(made.items):
            sheet = page(
                notebook,
                asked,
                objectives=made.objectives,
                standard=made.standard,
                decision=self._decisions.get(learner),
                days=_days(folder, path),
                computed=computed,
                hands=given,
                comments=self._comments.get(learner, {}),
                pictures=_pictures(self._workspace, asked),
                principles=self._standings(learner, release.name, computed.values()),
            )
        return _template().render(sheet=sheet, style=_style())

    def _standings(
        self, learner: str, release: str, computed: Iterable[ItemResult]
    ) -> list[Standing]:
        """Return how a learner stands; what nbgrader marked is known by its page alone."""
        rows = list(self._principles.get(learner, ()))
        if is_retake(self._worksheet):
            return rows
        first = SubmissionResult(learner, self._worksheet, release, MARKED, items=tuple(computed))
        return [
            one
            if one.state != OPEN
            else standing(
                one.principle, learner, [attempt_at(first, one.principle, 1)], one.records
            )
            for one in rows
        ]

    def _of(self, release: Release) -> _Made:
        if release.name not in self._made:
            made = read_made(self._workspace, self._worksheet, release.name)
            self._made[release.name] = _Made(
                made.known(),
                rule_of(self._workspace, made),
                pass_mark_of(self._workspace, made),
            )
        return self._made[release.name]


@cache
def _template() -> Template:
    environment = Environment(
        loader=PackageLoader("cubital.marking.feedback"),
        autoescape=True,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
    )
    return environment.get_template("page.html.j2")


@cache
def _style() -> Markup:
    return Markup(style("sheet.css"))


def _days(folder: Path, notebook: Path) -> Days:
    """Return when a marked hand-in says that it was handed in, and when it was marked."""
    marked = notebook.stat().st_mtime
    try:
        said = (folder / TIMESTAMP_FILE).read_text(encoding="utf-8")
        handed_in = datetime.fromisoformat(said.split()[0]).date()
    except (OSError, ValueError, IndexError):  # it says none, or no day
        handed_in = None
    return Days(handed_in, datetime.fromtimestamp(marked, UTC).date())


def _pictures(workspace: Path, asked: Asked) -> dict[str, tuple[str, str]]:
    """Draw the pictures of the page, in base 64 and in words; none where the truth is gone."""
    try:
        found = shown(workspace, asked)
    except ValueError:
        return {}
    return {item: (base64.b64encode(one.jpeg).decode(), one.words) for item, one in found.items()}
