"""The three questions by which a worksheet asks for a principle, each a vignette drawn for the
learner: two in which what it warns of is there, and one in which it is not."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.principles.vignette import Principle, Vignette
from cubital.items.writing.claiming import Claim, Offer
from cubital.items.writing.draw import Draw

FIRST, SECOND, OTHER = "first", "second", "other"
_TRIGGER = {True: "where it decides", False: "where it does not"}
_POINTS = 2
_VERSION = 2
_MINUTES = 1.0  # a choice, beside reading it


@dataclass(frozen=True, kw_only=True)
class VignetteItem(ChoiceItem):
    """A vignette of a principle with all its ways, in an order of the learner's own.

    Its values are the key of the vignette, the principle's key, and the ways' keys in order.
    """

    principle: str
    rule: str
    vignettes: tuple[Vignette, ...]

    def claims(self) -> tuple[Claim, ...]:
        """Return what each vignette takes for right, by the principle's rule."""
        name = self.principle.replace("_", " ")
        return tuple(
            Claim(
                key=one.key,
                title=f"{name[:1].upper()}{name[1:]}, {_TRIGGER[one.present]}",
                story=one.story,
                says=f"{_told(one)} The principle: {self.rule}",
                offers=(Offer("", _options(one, [way.key for way in one.ways])),),
                because=one.because,
                sources=one.sources,
            )
            for one in self.vignettes
        )

    def vignette(self, values: Values) -> Vignette:
        """Return the vignette that was drawn; one that is no more raises ValueError."""
        return _named(self.vignettes, values)

    def route_to(self, values: Values) -> str:
        """Say what decides in the vignette."""
        return self.vignette(values).because


class Asked(NamedTuple):
    """The questions on one principle: two that must be right to pass, and one that need not be."""

    first: VignetteItem
    second: VignetteItem
    other: VignetteItem

    @property
    def critical(self) -> tuple[VignetteItem, VignetteItem]:
        """Those that must be right to pass."""
        return self.first, self.second


def asked(principle: Principle) -> Asked:
    """Return the questions on a principle.

    The two that must be right ask the two vignettes of one of the principle's pairs, drawn for the
    learner, in an order that is drawn as well.

    Raises
    ------
    ValueError
        The principle has faults; the text lists them.
    """
    if faults := list(principle.faults()):
        raise ValueError(f"“{principle.key}” cannot be asked: {'; '.join(faults)}")
    return asked_of(principle, principle.present, principle.absent)


def asked_of(
    principle: Principle, present: Sequence[Vignette], absent: Sequence[Vignette]
) -> Asked:
    """Return the questions on a principle that ask these of its vignettes alone.

    Those with the trigger are asked in the pairs that are whole among them, and two by two where
    none is.

    Raises
    ------
    ValueError
        They do not do for two different ones with the trigger and one without it.
    """
    if len(present) < 2 or not absent:
        raise ValueError(
            f"“{principle.key}” has {len(present)} vignettes with the trigger and {len(absent)} "
            "without it left: two and one are asked"
        )
    pairs = principle.pairs_among(present)
    others = sorted(one.key for one in absent)
    return Asked(
        _item(principle, FIRST, present, lambda draw: draw.shuffled(draw.choose(pairs))[0]),
        _item(principle, SECOND, present, lambda draw: draw.shuffled(draw.choose(pairs))[1]),
        _item(principle, OTHER, absent, lambda draw: draw.choose(others)),
    )


def item_id(principle: str, part: str) -> str:
    """Return the id of one of a principle's questions."""
    return f"{principle.replace('_', '-')}-{part}"


def _item(
    principle: Principle, part: str, vignettes: Sequence[Vignette], which: Callable[[Draw], str]
) -> VignetteItem:
    return VignetteItem(
        id=item_id(principle.key, part),
        title=item_id(principle.key, part),
        version=_VERSION,
        points=_POINTS,
        section=principle.section,
        critical=part != OTHER,
        minutes=_MINUTES,
        draw_values=_drawing(principle.key, vignettes, which),
        ask=lambda v: _named(vignettes, v).story,
        options=lambda v: _options(_named(vignettes, v), v["order"]),
        principle=principle.key,
        rule=principle.rule,
        vignettes=tuple(vignettes),
    )


def _drawing(
    principle: str, vignettes: Sequence[Vignette], which: Callable[[Draw], str]
) -> Callable[[Draw], dict[str, Any]]:
    """Return what draws the values; the principle's questions share what draws the vignettes."""
    by_key = {one.key: one for one in vignettes}

    def draw_values(draw: Draw) -> dict[str, Any]:
        key = which(draw.beside(principle))
        order = draw.shuffled([way.key for way in by_key[key].ways])
        return {"principle": principle, "vignette": key, "order": order}

    return draw_values


def _named(vignettes: tuple[Vignette, ...], values: Values) -> Vignette:
    for one in vignettes:
        if one.key == values["vignette"]:
            return one
    raise ValueError(f"there is no vignette “{values['vignette']}”")


def _told(vignette: Vignette) -> str:
    """Return the way that is right in a vignette, by its text."""
    return next(way.text for way in vignette.ways if way.right)


def _options(vignette: Vignette, order: Sequence[str]) -> list[Option]:
    ways = {way.key: way for way in vignette.ways}
    return [Option(key, ways[key].text, ways[key].misconception) for key in order]
