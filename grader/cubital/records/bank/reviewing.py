"""The sheet on which clinicians accept or change the keys of cases and vignettes."""

import textwrap
from collections.abc import Iterable, Sequence
from string import ascii_uppercase
from typing import NamedTuple

from markupsafe import Markup

from cubital import tables
from cubital.items import Item
from cubital.items.writing.claiming import Claim
from cubital.records.bank.page import environment
from cubital.records.bank.signing import state
from cubital.records.report import CAUTION
from cubital.tables.files import style

COMMON_PRACTICE = "common practice, no source"
LINES = ("Clinician 1: name, role, signature, date", "Clinician 2: name, role, signature, date")

_WIDE = 96  # characters of a line of text
_INTRO = (
    "Each case, and each vignette of a principle, says which option it takes for right. Until two "
    "clinicians have signed it, that is a proposal of the course. Accept it, or write down what "
    "should be right and why."
)


class Sheet(NamedTuple):
    """One case or vignette as clinicians read it: options under letters, how its key stands."""

    claim: Claim
    offers: tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...]
    key: str
    sources: tuple[str, ...]
    state: str


def sheets(items: Iterable[Item]) -> list[Sheet]:
    """Return each case and vignette of these items once, in their order."""
    claims = {claim.key: claim for item in items for claim in item.claims()}
    return [_sheet(claim) for claim in claims.values()]


def _sheet(claim: Claim) -> Sheet:
    letters = iter(ascii_uppercase)
    offers = tuple(
        (offer.asked, tuple((next(letters), one.text, one.misconception) for one in offer.options))
        for offer in claim.offers
    )
    right = [letter for _, options in offers for letter, _, why in options if not why]
    known = tables.bibliography()
    sources = tuple(known[source].text for source in claim.sources) or (COMMON_PRACTICE,)
    return Sheet(claim, offers, " and ".join(right), sources, state(claim.key))


def text(found: Sequence[Sheet]) -> str:
    """Return the sheets as plain text to print and sign."""
    lines = ["Keys for two clinicians to sign", "", *_wrapped(_INTRO)]
    for number, sheet in enumerate(found, 1):
        claim = sheet.claim
        lines += ["", "", f"{number}. {claim.title} ({claim.key}): {sheet.state}", ""]
        lines += _wrapped(claim.story, "  ")
        for asked, options in sheet.offers:
            lines += ["", f"  {asked}"] if asked else [""]
            for letter, option, why in options:
                lines += _wrapped(f"{letter}. {option}", "    ")
                lines += _wrapped(f"Not right: {why}.", "       ") if why else []
        lines += ["", *_wrapped(f"Claim: {claim.says}", "  ")]
        lines += [f"  Key: {sheet.key}"]
        lines += _wrapped(f"Because: {claim.because}", "  ")
        for source in sheet.sources:
            lines += _wrapped(f"Source: {source}", "  ")
        lines += ["", "  [ ] accept    [ ] change to: " + 60 * "_"]
        lines += [f"  {line}: {(_WIDE - len(line) - 4) * '_'}" for line in LINES]
    return "\n".join(lines)


def page(found: Sequence[Sheet]) -> str:
    """Return the sheets as a page that stands alone."""
    return (
        environment()
        .get_template("review.html.j2")
        .render(
            sheets=found,
            intro=_INTRO,
            lines=LINES,
            caution=CAUTION,
            css=Markup(style("sheet.css", "report.css")),
        )
    )


def _wrapped(words: str, indent: str = "") -> list[str]:
    return [
        line
        for part in words.splitlines()
        for line in textwrap.wrap(
            part, _WIDE, initial_indent=indent, subsequent_indent=f"{indent}  "
        )
    ]
