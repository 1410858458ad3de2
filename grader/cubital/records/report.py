"""The cohort report: one page that stands alone, and the marks beside it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from cubital import tables
from cubital.calc.statistics.intervals import CONFIDENCE
from cubital.handin import passing
from cubital.handin.files import write_text
from cubital.handin.objectives import COMPETENCE_NOTE, STATES, title_of
from cubital.handin.passing import Decision
from cubital.handin.principles.standing import Standing
from cubital.handin.results import MARKED, SubmissionResult
from cubital.handin.standard import Standard
from cubital.items import Item, knowing
from cubital.records import picture
from cubital.records.cohort import Cohort, Problem, gather
from cubital.records.figures import Figure
from cubital.records.marks_table import marks_csv
from cubital.records.recognition import FEWEST_ANSWERS, FEWEST_LEARNERS, NO_PASS
from cubital.records.statistics import SMALL_COHORT
from cubital.tables import Curriculum
from cubital.tables.files import style

CAUTION = (
    "For training. Local policy, the device's instructions for use and licensed practice decide."
)
INVENTED = (
    "Invented data: the learners, their answers and their marks in this report are made up by the "
    "course's demonstration."
)
IDENTITY = (
    "Whose a hand-in is rests on the id that stands in it: the one under which the learner opened "
    "the worksheet, or on a hub the name they logged in by. Nothing checks it afterwards. When it "
    "was handed in is what the learner's computer said; when it arrived is by the clock of the "
    "computer that collected it."
)
PAGE, MARKS = "index.html", "marks.csv"
MANY = 8  # learners with one reason: from here on their names are folded

_SOURCES = (
    "wilson-1927",
    "fisher-1921",
    "item-analysis",
    "cronbach-1951",
    "feldt-1965",
    "huynh-1976",
)
_OF_RECOGNITION = (
    "hautus-1995",
    "stanislaw-todorov-1999",
    "miller-1974",
    "gourevitch-galanter-1967",
)
_PLOT_LEFT, _PLOT_LENGTH = 4, 112  # the dot-and-interval picture is 120 units wide
_NOT_IN_HTML = dict.fromkeys((*range(9), 11, 12, *range(14, 32), *range(127, 160)))


@dataclass(frozen=True)
class Written:
    """Where a report was written, and the cohort that it shows."""

    page: Path
    marks: Path
    cohort: Cohort


def build(
    results: Sequence[SubmissionResult],
    destination: Path,
    *,
    worksheet: str,
    made_at: datetime,
    title: str = "",
    names: Mapping[str, str] | None = None,
    release: str = "",
    problems: Iterable[Problem] = (),
    place: str = "",
    notice: str = "",
    invented: bool = False,
    curriculum: Curriculum | None = None,
    rows: Mapping[str, tables.Expected] | None = None,
    asked: Sequence[Item] | None = None,
    standard: Standard | None = None,
    decisions: Mapping[str, Decision] | None = None,
    setting: Mapping[str, Any] | None = None,
    principles: Mapping[str, Sequence[Standing]] | None = None,
) -> Written:
    """Write ``index.html`` and ``marks.csv`` into the folder ``destination``, each whole or not.

    ``names`` maps the roster's ids to names, in the order to show. ``problems`` are what the
    marker met that belongs to no learner.
    ``place`` says department and hospital, ``notice`` what the profile says of itself;
    ``invented`` marks the numbers of the demonstration as made up; ``rows`` are the rows of the
    standard-setting sheets that pass marks come from, ``asked`` the release's items, which may
    hold an educator's own, ``standard`` the worksheet's pass mark if it is not that of the rows,
    ``decisions`` what the course decides and ``principles`` how they stand on those that the
    worksheet asks for, by learner, ``setting`` how the standard was set.
    """
    with knowing(asked or ()):
        cohort = gather(
            results,
            worksheet=worksheet,
            release=release,
            names=names,
            curriculum=curriculum,
            rows=rows,
            asked=asked,
            standard=standard,
            decisions=decisions,
            problems=problems,
            principles=principles,
        )
        text = render(
            cohort,
            title=title,
            made_at=made_at,
            place=place,
            notice=notice,
            invented=invented,
            setting=setting,
        )
    destination = Path(destination)
    write_text(destination / MARKS, encodable(marks_csv(cohort)))
    write_text(destination / PAGE, encodable(text))
    return Written(destination / PAGE, destination / MARKS, cohort)


def render(
    cohort: Cohort,
    *,
    made_at: datetime,
    title: str = "",
    place: str = "",
    notice: str = "",
    invented: bool = False,
    setting: Mapping[str, Any] | None = None,
) -> str:
    """Return the report's page; every word from outside is escaped."""
    bibliography = tables.bibliography()
    sources = (*_SOURCES, *(_OF_RECOGNITION if cohort.recognition.told else ()))
    return page(
        "report.html.j2",
        cohort=cohort,
        title=title or f"Cohort report: {cohort.worksheet}",
        made_at=made_at,
        place=place,
        notice=notice,
        invented=INVENTED if invented else "",
        caution=CAUTION,
        competence=COMPETENCE_NOTE,
        identity=IDENTITY,
        legend=picture.LEGEND,
        setting=setting or tables.setting(),
        states=STATES,
        rule=passing.rule(),
        alike=passing.consistency_in_words(cohort.standard) if cohort.standard else "",
        is_hint=passing.is_hint,
        counts=[(state, n) for state, n in cohort.counts.items() if n or state == MARKED],
        small=SMALL_COHORT,
        many=MANY,
        sources=[bibliography[key] for key in sources],
        marks_file=MARKS,
    )


def page(template: str, **told: Any) -> str:
    """Return a page made by one of the templates; every word from outside is escaped."""
    environment = Environment(
        loader=PackageLoader("cubital.records"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {
        "day": day,
        "share": share,
        "correlation": correlation,
        "cell": picture.cell,
        "words": lambda state: state.replace("_", " "),
        "opening": lambda text: text[:1].upper() + text[1:],
        "item_title": title_of,
        "figure": lambda level: Figure(level.share, level.low, level.high),
        "code": lambda state: state.partition(":")[0].replace(" ", "-").replace("_", "-"),
    }
    environment.globals |= {
        "on_share": on_share,
        "on_correlation": on_correlation,
        "confidence": f"{CONFIDENCE:.0%}".replace("%", " %"),
        "no_pass": NO_PASS,
        "few_learners": FEWEST_LEARNERS,
        "few_answers": FEWEST_ANSWERS,
    }
    css = Markup(style("sheet.css", "report.css"))
    return environment.get_template(template).render(css=css, **told).translate(_NOT_IN_HTML)


def encodable(text: str) -> str:
    """Replace half characters, which JSON may hold and UTF-8 may not."""
    return text.encode("utf-8", "replace").decode("utf-8")


def day(moment: datetime | str, *, time: bool = False, short: bool = False) -> str:
    """Say a date in words; a text that is no date is given back as it is."""
    if isinstance(moment, str):
        try:
            return day(datetime.fromisoformat(moment), time=time, short=short)
        except ValueError:
            return moment
    date = f"{moment.day} {moment:%b %Y}" if short else f"{moment.day} {moment:%B %Y}"
    return f"{date}, {moment:%H:%M} {moment.tzname() or ''}".strip() if time else date


def share(figure: Figure) -> str:
    """Say a share in per cent, with its interval."""
    if figure.value is None or figure.low is None or figure.high is None:
        return figure.words
    return f"{100 * figure.value:.0f} % ({100 * figure.low:.0f} to {100 * figure.high:.0f})"


def correlation(figure: Figure) -> str:
    """Say a correlation, with its interval or why it has none."""
    if figure.value is None:
        return figure.words
    value = _signed(figure.value)
    if figure.low is None or figure.high is None:
        return f"{value} ({figure.words})"
    return f"{value} ({_signed(figure.low)} to {_signed(figure.high)})"


def _signed(value: float) -> str:
    return f"{value:.2f}".replace("-0.00", "0.00").replace("-", "−")


def on_share(value: float) -> float:
    """Place a share on the picture's axis from 0 to 1."""
    return round(_PLOT_LEFT + _PLOT_LENGTH * value, 1)


def on_correlation(value: float) -> float:
    """Place a correlation on the picture's axis from -1 to 1."""
    return on_share((value + 1) / 2)
