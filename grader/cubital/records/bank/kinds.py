"""What each kind of item offers, takes as right, and knows as slips, in words for the bank."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from cubital.handin.release import Release
from cubital.items import Item

Values = Mapping[str, Any]
Truth = Mapping[str, Any] | None

_LEARNERS = 40  # enough to meet every option that an item offers
_SEALED = "It lies sealed with the picture."


@dataclass(frozen=True)
class Mistake:
    """One slip at the drawn values: what it leads to, and what it rests on."""

    key: str
    leads_to: str
    misconception: str


def count_slips(item: Item, release: Release) -> int:
    """Return how many slips an item knows, over all that it may offer."""
    if item.kind in {"number", "code"}:
        return len(item.slips)
    if item.kind in {"choice", "table"}:
        names = [f"learner-{number:03d}" for number in range(_LEARNERS)]
        return len({m.key for name in names for m in mistakes(item, release.values(item, name))})
    if item.kind == "order":
        return len(item.rules)
    return len(mistakes(item, {}))  # of a text none; of a picture the same whatever it shows


def offered(item: Item, values: Values) -> tuple[str, ...]:
    """Return what a learner chooses from, in the order shown; nothing where they write."""
    if item.kind in {"choice", "series"}:
        return tuple(option.text for option in item.options(values))
    if item.kind == "order":
        texts = {step.key: step.text for step in item.steps(values)}
        return tuple(texts[key] for key in values["shown"])
    if item.kind == "table":
        columns = " | ".join(column.text for column in item.columns(values))
        return tuple(f"{row.text} [{columns}]" for row in item.rows(values))
    return ()


def answer(item: Item, values: Values, truth: Truth) -> str:
    """Say the right answer; of an item on a picture only with the picture's truth."""
    return _ANSWERS[item.kind](item, values, truth)


_ANSWERS: dict[str, Callable[[Any, Values, Truth], str]] = {
    "number": lambda i, v, _t: f"{i.answer(v):.6g} {i.unit}".strip(),
    "code": lambda i, v, _t: f"{i.answer(v):.6g}, from {i.function}(...)",
    "choice": lambda i, v, _t: next(option.text for option in i.options(v) if option.right),
    "order": lambda i, v, _t: i.in_words(v, {"order": i.solution(v)}),
    "table": lambda i, v, _t: i.in_words(v, {"cells": i.solution(v)}),
    "text": lambda i, _v, _t: "Marked by hand. " + " ".join(i.mark_scheme),
    "place": lambda i, v, t: i.in_words(v, {"marks": i.solution(t)}) if t else _SEALED,
    "series": lambda i, v, t: i.in_words(v, i.solution(v, t)) if t else _SEALED,
}


def tolerance(item: Item, values: Values) -> str:
    """Say how far off is right still."""
    return _TOLERANCES.get(item.kind, lambda _i, _v: "nothing, it is right or it is not")(
        item, values
    )


_TOLERANCES: dict[str, Callable[[Any, Values], str]] = {
    "number": lambda i, v: f"± {i.tolerance(v):.3g} {i.unit}".strip(),
    "code": lambda i, _v: f"± {100 * i.relative_tolerance:.3g} %",
    "text": lambda _i, _v: "a person marks it",
    "table": lambda _i, _v: "each row gives its share of the points",
    "place": lambda i, _v: f"within {i.within_mm:g} mm",
    "series": lambda i, _v: f"within {i.within_frames} frames and {i.within_mm:g} mm",
}


def mistakes(item: Item, values: Values) -> Sequence[Mistake]:
    """Return the slips that an item knows at these values."""
    return _MISTAKES.get(item.kind, lambda _i, _v: [])(item, values)


def _numbers(item: Any, values: Values) -> list[Mistake]:
    unit = getattr(item, "unit", "")
    found = []
    for slip in item.slips:
        number = slip.value(values)
        leads_to = "cannot be made here" if number is None else f"{number:.6g} {unit}".strip()
        found.append(Mistake(slip.key, leads_to, slip.misconception))
    return found


def _options(item: Any, values: Values) -> list[Mistake]:
    wrong = [option for option in item.options(values) if not option.right]
    return [Mistake(option.key, option.text, option.misconception) for option in wrong]


def _rules(item: Any, values: Values) -> list[Mistake]:
    texts = {step.key: step.text.rstrip(".") for step in item.steps(values)}
    return [
        Mistake(rule.key, f"“{texts[rule.then]}” before “{texts[rule.first]}”", rule.misconception)
        for rule in item.rules
    ]


def _cells(item: Any, values: Values) -> list[Mistake]:
    columns = {column.key: column.text for column in item.columns(values)}
    return [
        Mistake(item.slip_key(row.key, key), f"{row.text.rstrip('.')}: {columns[key]}", why)
        for row in item.rows(values)
        for key, why in row.misconceptions.items()
    ]


def _places(item: Any, _values: Values) -> list[Mistake]:
    return [
        Mistake("missed", f"{item.many} not marked", item.missed),
        Mistake("invented", "marks where there is nothing", item.invented),
    ]


def _events(item: Any, _values: Values) -> list[Mistake]:
    return [
        Mistake(f"not-{key}", f"another option where “{key}” is right", why)
        for key, why in (item.misconceptions or {}).items()
    ]


_MISTAKES: dict[str, Callable[[Any, Values], list[Mistake]]] = {
    "number": _numbers,
    "code": _numbers,
    "choice": _options,
    "order": _rules,
    "table": _cells,
    "place": _places,
    "series": _events,
}
