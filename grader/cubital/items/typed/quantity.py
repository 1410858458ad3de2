"""Read what a learner typed: a number with its unit, in the spelling of the ward."""

import re
import unicodedata
from dataclasses import dataclass
from functools import cache
from math import degrees
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pint import Unit, UnitRegistry

# How a unit may be typed -> its name in the registry. Checked without regard to case, except
# where case tells two units apart.
SPELLINGS = {
    "mm": "millimeter",
    "millimetre": "millimeter",
    "millimetres": "millimeter",
    "millimeters": "millimeter",
    "cm": "centimeter",
    "centimetre": "centimeter",
    "centimetres": "centimeter",
    "m": "meter",
    "metre": "meter",
    "metres": "meter",
    "µm": "micrometer",
    "μm": "micrometer",
    "um": "micrometer",
    "in": "inch",
    "inch": "inch",
    "inches": "inch",
    "fr": "french",
    "f": "french",
    "ch": "french",
    "french": "french",
    "%": "percent",
    "percent": "percent",
    "per cent": "percent",
    "ml": "milliliter",
    "cc": "milliliter",
    "millilitre": "milliliter",
    "millilitres": "milliliter",
    "l": "liter",
    "litre": "liter",
    "litres": "liter",
    "day": "day",
    "days": "day",
    "d": "day",
    "h": "hour",
    "hr": "hour",
    "hrs": "hour",
    "hour": "hour",
    "hours": "hour",
    "min": "minute",
    "mins": "minute",
    "minute": "minute",
    "minutes": "minute",
    "s": "second",
    "sec": "second",
    "second": "second",
    "seconds": "second",
    "mg": "milligram",
    "milligram": "milligram",
    "milligrams": "milligram",
    "g": "gram",
    "gram": "gram",
    "grams": "gram",
    "catheter": "catheter",
    "catheters": "catheter",
    "wipe": "wipe",
    "wipes": "wipe",
    "picture": "picture",
    "pictures": "picture",
    "shift": "shift",
    "shifts": "shift",
    "drop": "drop",
    "drops": "drop",
    "gtt": "drop",
    "gtts": "drop",
    "°": "slant_degree",
    "deg": "slant_degree",
    "degs": "slant_degree",
    "degree": "slant_degree",
    "degrees": "slant_degree",
    "rad": "slant_radian",
    "radian": "slant_radian",
    "radians": "slant_radian",
    "lx": "lux",
    "lux": "lux",
}

# What each item's unit measures, in words, for the refusals.
MEASURES = {
    "mm": "a length",
    "Fr": "a French size",
    "": "a ratio, with no unit or in %",
    "mL/min": "a flow, volume per time",
    "mL/h": "a flow, volume per time",
    "drops/min": "a drip rate, drops per time",
    "h": "a time",
    "min": "a time",
    "days": "a time",
    "mL": "a volume",
    "mg": "a mass",
    "catheters": "a number of catheters",
    "wipes": "a number of wipes",
    "pictures": "a number of pictures",
    "shifts": "a number of shifts",
    "degrees": "an angle",
    "s": "a time",
    "mm/s": "a speed, length per time",
    "lx": "light on a surface",
}

_NUMBER = re.compile(r"[+-]?(?:\d[\d.,'’ \u00a0\u202f]*\d|\d|[.,]\d+)(?:[eE][+-]?\d+)?")
_MAX_LENGTH = 60


class UnreadableAnswerError(ValueError):
    """What was typed is not an answer of this kind; the text says what to type instead."""


class AskedBackError(UnreadableAnswerError):
    """What was typed is more likely something else; ``meant`` is that, to be typed instead."""

    def __init__(self, words: str, meant: str) -> None:
        super().__init__(words)
        self.meant = meant


@dataclass(frozen=True)
class Quantity:
    """A number in the item's own unit, the words it was typed in, and whether these had no unit."""

    number: float
    typed: str
    bare: bool


@cache
def _registry() -> "UnitRegistry[float]":  # pint is imported on use: it costs as much as numpy
    import pint  # noqa: PLC0415

    registry: UnitRegistry[float] = pint.UnitRegistry(cache_folder=None)
    for definition in (
        "drop = [drop]",
        "wipe = [wipe]",
        "picture = [picture]",
        "shift = [shift]",
        "catheter = [catheter]",
        "french = [french_size]",
        # Angles measure something here: 25 degrees are no ratio, and 25 % is no angle.
        "slant_degree = [slant]",
        f"slant_radian = {degrees(1)} * slant_degree",
    ):
        registry.define(definition)
    return registry


def read_quantity(typed: str, unit: str) -> Quantity:
    """Return the number that ``typed`` states, in ``unit``.

    Parameters
    ----------
    typed
        As the learner wrote it: ``"2.5 mm"``, ``"0.25 cm"``, ``"45 %"``, ``"2 h 30 min"``,
        ``"42 drops/min"``. A decimal comma is read where it can mean nothing else.
    unit
        The item's unit, one of `MEASURES`; empty for a ratio.

    Raises
    ------
    UnreadableAnswerError
        Nothing typed, no number, an ambiguous comma, a missing, unknown or wrong unit; the
        text says which and what would be read.
    """
    text = _plain(typed)
    if not text:
        raise UnreadableAnswerError(f"Nothing is typed yet. Type a number{_with_unit(unit)}.")
    if len(text) > _MAX_LENGTH:
        raise UnreadableAnswerError(
            f"That is longer than {_MAX_LENGTH} characters. Type one number{_with_unit(unit)}."
        )
    parts = _parts(text, unit)
    if len(parts) > 1 and not parts[-1][1]:  # 5h46: its hours must not be dropped
        raise UnreadableAnswerError(
            f"“{text}” ends in a number without a unit. Type every unit, as in 2 h 30 min."
        )
    total = sum(_in_unit(number, spelled, unit) for number, spelled in parts)
    return Quantity(float(total), typed.strip(), bare=not any(spelled for _, spelled in parts))


def in_per_cent(ratio: float, figures: int = 10) -> str:
    """Write a ratio in per cent as it can be typed: 34 %, 12.5 %."""
    return f"{100 * ratio:.{figures}g} %"


def _plain(typed: str) -> str:
    """Fold look-alike characters and the digits of other scripts into plain ones."""
    typed = typed.replace("−", "-").replace("µ", "u").replace("º", "°").replace("˚", "°")
    folded = unicodedata.normalize("NFKC", typed)
    folded = "".join(c for c in folded if unicodedata.category(c) != "Cf")
    folded = folded.replace("٫", ".")
    folded = "".join(str(unicodedata.digit(c)) if c.isdigit() else c for c in folded)
    return folded.replace("μ", "u").strip()


def _parts(text: str, unit: str) -> list[tuple[float, str]]:
    """Split ``2 h 30 min`` into numbers and the words after them."""
    first = _NUMBER.match(text)
    if first is None:
        raise UnreadableAnswerError(f"“{text}” is not a number. Type a number{_with_unit(unit)}.")
    parts, at = [], 0
    while at < len(text):
        found = _NUMBER.match(text, at)
        if found is None:
            raise UnreadableAnswerError(
                f"“{text}” cannot be read. Type one number{_with_unit(unit)}, no sum or formula."
            )
        following = _NUMBER.search(text, found.end())
        end = following.start() if following else len(text)
        words = text[found.end() : end].strip()
        if following and not re.search(r"[^\W\d]|%", words):
            raise UnreadableAnswerError(
                f"“{text}” cannot be read. Type one number{_with_unit(unit)}, no sum or formula."
            )
        parts.append((_number(found.group()), words))
        at = end
    return parts


def _number(text: str) -> float:
    """Read a number with a decimal point or comma; ask where a comma could group thousands."""
    grouped = re.fullmatch(r"([+-]?\d{1,3}(?:[ '’\u00a0\u202f]\d{3})+)([.,]\d+)?", text)
    if grouped:
        text = re.sub(r"[ '’\u00a0\u202f]", "", text)
    if re.search(r"[ '’\u00a0\u202f]", text):
        raise UnreadableAnswerError(f"“{text}” looks like two numbers. Type one.")
    if re.fullmatch(r"[+-]?[1-9]\d{0,2},\d{3}", text):
        as_point, as_group = text.replace(",", "."), text.replace(",", "")
        raise UnreadableAnswerError(
            f"“{text}” can mean {as_point} or {as_group}. Type the one you mean, with a point."
        )
    if text.count(",") == 1 and "." not in text:
        text = text.replace(",", ".")
    elif "," in text or text.count(".") > 1:
        raise UnreadableAnswerError(
            f"“{text}” cannot be read. Type the number with a point and no other mark, as 1250.5."
        )
    return float(text)


def _in_unit(number: float, spelled: str, unit: str) -> float:
    """Convert one number with its typed unit into the item's unit."""
    if not spelled:
        if unit:
            raise UnreadableAnswerError(
                f"The unit is missing. Type it after the number, as {number:g} {unit}."
            )
        return number
    registry = _registry()
    given, wanted = registry_units(spelled), registry_units(unit)
    if given is None:
        raise UnreadableAnswerError(
            f"The unit “{spelled}” is not known here. This answer is {MEASURES[unit]}"
            + (f", for example in {unit}." if unit else ".")
        )
    if wanted is None or given.dimensionality != wanted.dimensionality:
        raise UnreadableAnswerError(
            f"“{spelled}” does not measure this. The answer is {MEASURES[unit]}"
            + (f", for example in {unit}." if unit else ".")
        )
    return float(registry.Quantity(number, given).to(wanted).magnitude)


def registry_units(spelled: str) -> "Unit | None":
    """Return the unit that ``spelled`` names, or None."""
    registry = _registry()
    if not spelled:
        return registry.dimensionless
    text = re.sub(r"\s+per\s+", "/", spelled.strip().rstrip("."), flags=re.IGNORECASE)
    text = re.sub(r"\s*/\s*", "/", text)
    words = [part.strip().casefold() for part in text.split("/")]
    if len(words) > 2 or not all(word in SPELLINGS for word in words):
        return None
    units = registry.Unit(SPELLINGS[words[0]])
    return units / registry.Unit(SPELLINGS[words[1]]) if len(words) == 2 else units


def _with_unit(unit: str) -> str:
    return f" with its unit, for example in {unit}" if unit else ""
