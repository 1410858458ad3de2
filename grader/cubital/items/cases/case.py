"""What a case is that ends in a decision: its ways, its reasons, and which of them are right."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cubital.items.kinds.base import repeated
from cubital.items.kinds.choice import Option
from cubital.items.kinds.deciding import ASKED, REASON, WAY, DecisionItem
from cubital.items.writing.claiming import Claim, Offer
from cubital.items.writing.draw import Draw

_WAYS = 4
_REASONS = 4
_POINTS = 2
_MINUTES = 2.0  # two choices to weigh, beside reading them


@dataclass(frozen=True)
class Case:
    """One patient or device, two goods of which only one can be had, and a decision.

    ``section`` is the heading of the lesson that teaches it. One of the four ``ways`` to act is
    right, and one of the four ``reasons`` decided it; each wrong option says in its misconception
    what somebody who takes it believes or overlooks. The keys of all eight differ. ``because`` says
    why this way, at what price. ``sources`` are keys of ``assets/bibliography.toml``; without one
    it is common practice.
    """

    key: str
    title: str
    section: str
    story: str
    ways: tuple[Option, ...]
    reasons: tuple[Option, ...]
    because: str
    sources: tuple[str, ...] = ()

    def faults(self) -> Iterator[str]:
        """Yield what is wrong with it."""
        for name, options, number in (
            ("ways", self.ways, _WAYS),
            ("reasons", self.reasons, _REASONS),
        ):
            right = sum(option.right for option in options)
            if len(options) != number:
                yield f"{self.key}: {len(options)} {name}, and there must be {number}"
            if right != 1:
                yield f"{self.key}: {right} of the {name} are right, and one must be"
        options = (*self.ways, *self.reasons)
        for key in repeated([option.key for option in options]):
            yield f"{self.key}: two options have the key {key!r}"
        for text in repeated([option.text for option in options]):
            yield f"{self.key}: two options say {text!r}"
        for name in ("key", "title", "section", "story", "because"):
            if not getattr(self, name).strip():
                yield f"{self.key}: its {name} is empty"


@dataclass(frozen=True, kw_only=True)
class CaseItem(DecisionItem):
    """The question on a case; its key is proposed until clinicians have signed it."""

    case: Case

    def claims(self) -> tuple[Claim, ...]:
        """Return what the case takes for right."""
        ways, reasons = Offer(ASKED[WAY], self.case.ways), Offer(ASKED[REASON], self.case.reasons)
        return (
            Claim(
                key=self.case.key,
                title=self.case.title,
                story=self.case.story,
                says=f"{ways.right.text} What decides it: {reasons.right.text}",
                offers=(ways, reasons),
                because=self.case.because,
                sources=self.case.sources,
            ),
        )


def item_of(case: Case, *, optional_of: str = "") -> CaseItem:
    """Return the item that asks a case; every learner sees its options in an order of their own.

    ``optional_of`` makes it optional and names its lesson, where that is not its worksheet's.
    """
    title = f"Optional: {case.title[0].lower()}{case.title[1:]}" if optional_of else case.title
    return CaseItem(
        id=case.key,
        title=title,
        lesson=optional_of,
        optional=bool(optional_of),
        points=_POINTS,
        section=case.section,
        minutes=_MINUTES,
        draw_values=lambda draw: _orders(draw, case),
        ask=lambda _values: case.story,
        ways=lambda values: _in_order(case.ways, values["ways"]),
        reasons=lambda values: _in_order(case.reasons, values["reasons"]),
        because=case.because,
        case=case,
    )


def _orders(draw: Draw, case: Case) -> dict[str, list[str]]:
    return {
        "ways": draw.shuffled([way.key for way in case.ways]),
        "reasons": draw.shuffled([reason.key for reason in case.reasons]),
    }


def _in_order(options: Sequence[Option], keys: Sequence[str]) -> list[Option]:
    by_key = {option.key: option for option in options}
    return [by_key[key] for key in keys]
