"""All worksheets of a course on one page: a row a learner, a column a worksheet."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from cubital.handin import passing
from cubital.handin.files import write_text
from cubital.handin.objectives import COMPETENCE_NOTE, SHOWN, Knowledge, is_right, knowledge_of
from cubital.handin.passing import Decision, Part
from cubital.handin.principles.standing import Standing as PrincipleStanding
from cubital.handin.principles.standing import since
from cubital.handin.results import MARKED, MISSING, NOTHING, REFUSED, SubmissionResult
from cubital.handin.standard import Standard
from cubital.records import report
from cubital.records.recognition import recognition
from cubital.tables import Objective


@dataclass(frozen=True)
class Sheet:
    """One released worksheet: its results, objectives, pass mark, and where its own report lies.

    ``link`` leads to the worksheet's report, ``pages`` by learner to the feedback pages, each as
    an address from the overview's folder; none where there is no such page yet. ``principles``
    tells by learner how they stand on those that the worksheet asks for.
    """

    worksheet: str
    release: str
    results: Sequence[SubmissionResult]
    objectives: tuple[Objective, ...] = ()
    link: str = ""
    pages: Mapping[str, str] | None = None
    standard: Standard | None = None
    principles: Mapping[str, Sequence[PrincipleStanding]] | None = None

    def stands(self, learner: str) -> Sequence[PrincipleStanding]:
        """Return how a learner stands on the principles that the worksheet asks for."""
        return (self.principles or {}).get(learner, ())

    @cached_property
    def knowledge(self) -> Mapping[str, tuple[Knowledge, ...]]:
        """What each result shows of each objective, by learner."""
        return {
            row.learner: knowledge_of(row, self.objectives, since(self.stands(row.learner)))
            for row in self.results
        }

    @property
    def title(self) -> str:
        """The worksheet's name in words."""
        return self.worksheet.replace("-", " ").capitalize()


class Cell(NamedTuple):
    """One learner's state in one worksheet: a kind for the shade, words, and what is open."""

    kind: str
    words: str
    notes: tuple[str, ...] = ()
    link: str = ""


def cell(sheet: Sheet, result: SubmissionResult) -> Cell:
    """Say how far one learner is in one worksheet."""
    if result.state != MARKED:
        kind = "no-evidence" if result.state == MISSING else "unread"
        words = result.state.replace("_", " ")
        if result.state == MISSING:
            words = "not handed in" if result.reason in {"", NOTHING} else "no hand-in was read"
        return Cell(kind, words)
    stands = sheet.stands(result.learner)
    known = sheet.knowledge[result.learner]
    shown = sum(row.state == SHOWN for row in known)
    refused = sum(row.outcome == REFUSED and not row.manual for row in result.items)
    critical = {key for row in known for key in row.critical_wrong}
    notes = (
        f"{len(result.waiting)} to mark by hand" if result.waiting else "",
        f"{refused} refused" if refused else "",
        f"{len(critical)} critical wrong" if critical else "",
        f"{shown} of {len(known)} objectives shown" if known else "",
        *(f"{one.title}: {one.in_words}" for one in stands if not one.at_once),
    )
    counted = [row for row in result.items if not row.optional]
    share = f"{result.points:g} of {result.max_points:g}"
    everything = all(row.points is not None and is_right(row) for row in counted)
    return Cell(
        "waiting" if result.waiting else "shown" if everything else "marked",
        share + (" so far" if result.waiting else ""),
        tuple(filter(None, notes)),
        (sheet.pages or {}).get(result.learner, ""),
    )


def decisions(
    sheets: Sequence[Sheet],
    learners: Iterable[str],
    parallel: Sequence[Sheet] = (),
    *,
    form: Sequence[str] | None = None,
) -> dict[str, Decision]:
    """Return what the course decides on each learner, by the worksheets that it requires.

    ``parallel`` are those of the parallel form, none where there is no such form; ``form`` names
    its worksheets, `passing.parallel_worksheets` if none are named.
    """
    asked = passing.required()
    form = passing.parallel_worksheets() if form is None else form
    again = form if parallel else ()
    of_course, of_form = _parts(sheets), _parts(parallel)
    return {
        learner: passing.decide(
            [of_course(worksheet, learner) for worksheet in asked],
            [of_form(worksheet, learner) for worksheet in again],
            form=form,
        )
        for learner in learners
    }


def _parts(sheets: Sequence[Sheet]) -> Callable[[str, str], Part]:
    """Return what gives a learner's part of a worksheet of one form."""
    released = {sheet.worksheet: sheet for sheet in sheets}
    by_sheet = {
        name: {row.learner: row for row in sheet.results} for name, sheet in released.items()
    }

    def part(worksheet: str, learner: str) -> Part:
        sheet = released.get(worksheet)
        if sheet is None:
            return Part(worksheet)
        result = by_sheet[worksheet].get(learner)
        if result is not None:
            return Part(worksheet, sheet.standard, result, sheet.knowledge[learner])
        missing = SubmissionResult(learner, worksheet, sheet.release, MISSING)
        known = knowledge_of(missing, sheet.objectives)
        return Part(worksheet, sheet.standard, missing, known)

    return part


def _decided(decision: Decision) -> Cell:
    kind = decision.state.partition(":")[0].replace(" ", "-")
    wrong = len(decision.critical_wrong)
    told = [decision.reason]
    if wrong and decision.state != passing.NOT_PASSED:
        told.append(f"{wrong} critical wrong")
    return Cell(kind, decision.state, tuple(told))


def render(
    sheets: Sequence[Sheet],
    *,
    names: Mapping[str, str],
    made_at: datetime,
    place: str = "",
    notice: str = "",
    invented: bool = False,
    decided: Mapping[str, Decision] | None = None,
) -> str:
    """Return the page; ``names`` maps the roster's ids to names, in the order to show.

    ``decided`` is what the course decides by learner, if it was worked out already.
    """
    by_sheet = [{row.learner: row for row in sheet.results} for sheet in sheets]
    decided = decisions(sheets, names) if decided is None else decided
    rows = [
        (key, name, [cell(*pair) for pair in _pairs(sheets, by_sheet, key)], _decided(decided[key]))
        for key, name in names.items()
    ]
    return report.page(
        "overview.html.j2",
        sheets=sheets,
        rows=rows,
        made_at=made_at,
        place=place,
        notice=notice,
        invented=report.INVENTED if invented else "",
        caution=report.CAUTION,
        competence=COMPETENCE_NOTE,
        rule=passing.rule(),
        recognition=recognition(row for sheet in sheets for row in sheet.results),
    )


def _pairs(
    sheets: Sequence[Sheet], by_sheet: Sequence[Mapping[str, SubmissionResult]], key: str
) -> Iterator[tuple[Sheet, SubmissionResult]]:
    for sheet, found in zip(sheets, by_sheet, strict=True):
        missing = SubmissionResult(key, sheet.worksheet, sheet.release, MISSING)
        yield sheet, found.get(key, missing)


def write_overview(
    destination: Path,
    sheets: Sequence[Sheet],
    *,
    names: Mapping[str, str],
    made_at: datetime,
    place: str = "",
    notice: str = "",
    invented: bool = False,
    decided: Mapping[str, Decision] | None = None,
) -> Path:
    """Write the page as ``index.html`` into a folder and return its path; see `render`."""
    path = Path(destination) / report.PAGE
    text = render(
        sheets,
        names=names,
        made_at=made_at,
        place=place,
        notice=notice,
        invented=invented,
        decided=decided,
    )
    write_text(path, report.encodable(text))
    return path
