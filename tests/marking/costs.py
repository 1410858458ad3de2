"""What a slip costs, counted apart from the course's own marking."""

from typing import Any

from cubital.items import Item


def lost(item: Item, values: dict[str, Any], slip: str, truth: Any = None) -> float:
    """How many points one slip costs: all, or those of a table's row or of one mark in a picture.

    Of an order, it costs the share of the rules that it breaks: those whose steps stand the other
    way round, counted here pair by pair.

    Another reason for the right decision costs half.

    Of a dozen trials, one missed or one invented costs a sixth of what is not for the question
    below them, and that costs a quarter; of the four on arteries each costs a quarter.

    With n places there, a mark too many leaves n of n + 1, one too few n - 1 of n.
    """
    if item.kind == "table":
        return item.points / len(item.rows(values))
    if item.kind == "order":
        made = item.slip_answers(values)[slip]
        turned = [made.index(rule.first) > made.index(rule.then) for rule in item.rules]
        return item.points - round(item.points * turned.count(False) / len(turned), 2)
    if item.kind == "decision":
        return item.points / (2 if slip in {one.key for one in item.reasons(values)} else 1)
    if item.kind == "place":
        there = len(item.solution(values, truth))
        return item.points / (there + 1 if slip == "invented" else there)
    if item.kind == "trials":
        below = item.points / 4 if item.ways else 0.0
        at_stake = 4 if item.always else 6
        return below if slip.startswith("closing") else (item.points - below) / at_stake
    return item.points
