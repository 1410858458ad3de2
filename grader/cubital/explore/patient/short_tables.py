"""Tables of the two short lessons: what spoils a sample's result, and sites by a child's age."""

from cubital.explore.kit.table import LessonTable
from cubital.tables.patient import ChildSite, SpoiltResult, child_sites, spoilt_results

_FROM = {"measured": "measured", "guideline": "guideline", "common practice": "common practice"}


def result_table() -> LessonTable:
    """What spoils the result of a blood sample, and what is done instead."""
    return LessonTable(
        caption="What spoils a result",
        columns=("Cause", "What the laboratory finds", "Instead", "Source"),
        rows=tuple(
            (_capital(row.cause), _capital(row.result), row.instead, _source(row))
            for row in spoilt_results()
        ),
        note="None of this shows in the picture, and hardly any of it shows at the bedside.",
    )


def child_site_table() -> LessonTable:
    """Sites for a child's catheter, for whom and with which caution."""
    return LessonTable(
        caption="Sites for a child's catheter",
        columns=("Site", "For whom", "Mind", "Source"),
        rows=tuple(
            (_capital(row.site), row.whom, row.caution, _source(row)) for row in child_sites()
        ),
        note="Local policy decides. Measure the vein, and feel for a pulse, at every site.",
    )


def _source(row: SpoiltResult | ChildSite) -> str:
    known = "" if row.source == "common-practice" else f" [{row.source}]"
    return f"{_FROM[row.kind]}{known}"


def _capital(words: str) -> str:
    return words[0].upper() + words[1:]
