"""The pack by which a department accepts or changes what the lessons claim."""

import textwrap
from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from markupsafe import Markup

from cubital import tables
from cubital.records.bank.lesson_claims import NO_SOURCE, Claim, claims
from cubital.records.bank.page import environment
from cubital.records.report import CAUTION
from cubital.tables import course
from cubital.tables.approving import PageReview, a_year_after, day, page_edition, said
from cubital.tables.files import style

LINE = "Reviewer: name, role, signature, date"

_WIDE = 96  # characters of a line of text
_INTRO = (
    "Each sentence states a number, names a source, or says what is safe. A program chose them by "
    "their words, so read the page beside them. Accept each, or write down what should stand there "
    "and why. What is accepted holds for 12 months at most."
)


class Pack(NamedTuple):
    """A page of the course with its claims, how its review stands, and the row to write of one."""

    page: str
    title: str
    state: str
    claims: tuple[Claim, ...]
    row: str


def pack(page: str, reviews: Mapping[str, PageReview], today: date) -> Pack:
    """Return what a department approves of a page."""
    found = claims(page)
    titles = {row.name: row.title for row in course.lessons()}
    until = a_year_after(today)
    row = f"{page},NAME,ROLE,{today},{until},{page_edition(page)}"
    state = said(page, reviews.get(page), today)
    return Pack(page, titles.get(page, found[0].section), state, found, row)


def approved(profile: tables.Profile) -> str:
    """Say who approved a department's figures, and when."""
    if not profile.approved_by:
        return "Nobody has approved these figures yet."
    return f"Approved by {profile.approved_by} on {day(profile.approved_on)}."


def figures(profile: tables.Profile) -> tuple[tuple[str, str], ...]:
    """Return a department's figures by name, as text."""
    return tuple(
        (name, ", ".join(value) if isinstance(value, tuple) else str(value))
        for name, value in tables.followed(profile).items()
    )


def text(packs: Sequence[Pack], profile: tables.Profile | None) -> str:
    """Return the packs as plain text to print and sign."""
    lines = ["Lessons for a department to approve", "", *_wrapped(_INTRO)]
    if profile is not None:
        lines += ["", "", f"The figures of {_place(profile)}", "", f"  {approved(profile)}"]
        lines += [f"  {name}: {value}" for name, value in figures(profile)]
        lines += ["", *_to_sign(), f"  {LINE}: {40 * '_'}"]
        lines += [
            "  Then write into local-profile.toml, under [approval]: approved_by, approved_on"
        ]
    for one in packs:
        lines += ["", "", f"{one.title} ({one.page})", "", f"  {one.state}"]
        for number, claim in enumerate(one.claims, 1):
            kind = "Safety. " if claim.is_safety else ""
            lines += ["", *_wrapped(f"{number}. {claim.words}", "  ")]
            lines += _wrapped(f"{kind}Section: {claim.section}.", "     ")
            for source in claim.sources or (NO_SOURCE,):
                lines += _wrapped(f"Source: {source}", "     ")
            lines += _to_sign("     ")
        lines += ["", f"  {LINE}: {40 * '_'}"]
        lines += ["  Then write into page-reviews.csv:", f"  {one.row}"]
    return "\n".join(lines)


def page(packs: Sequence[Pack], profile: tables.Profile | None) -> str:
    """Return the packs as a page that stands alone."""
    return (
        environment()
        .get_template("approve.html.j2")
        .render(
            packs=packs,
            place="" if profile is None else _place(profile),
            approved="" if profile is None else approved(profile),
            figures=() if profile is None else figures(profile),
            intro=_INTRO,
            line=LINE,
            no_source=NO_SOURCE,
            caution=CAUTION,
            css=Markup(style("sheet.css", "report.css")),
        )
    )


def _place(profile: tables.Profile) -> str:
    return f"{profile.department}, {profile.hospital}"


def _to_sign(indent: str = "  ") -> list[str]:
    return [f"{indent}[ ] accept    [ ] change to: {56 * '_'}"]


def _wrapped(words: str, indent: str = "") -> list[str]:
    return textwrap.wrap(words, _WIDE, initial_indent=indent, subsequent_indent=f"{indent}  ")
