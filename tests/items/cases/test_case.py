"""A case is held to its form: one right way and one right reason of four each."""

from dataclasses import replace

import pytest

from cubital.items.cases.case import Case
from cubital.items.kinds.choice import Option


def options(*keys: str) -> tuple[Option, ...]:
    """Return options of which the first is right."""
    first, *others = keys
    return (
        Option(first, f"Do {first}."),
        *(Option(key, f"Do {key}.", f"overlooks {key}") for key in others),
    )


CASE = Case(
    key="test-last-vein",
    title="The last good vein",
    section="Choosing a vein",
    story="One good vein is left on the forearm, and the drug runs for a week.",
    ways=options("hand", "forearm", "elbow", "wait"),
    reasons=options("days-to-come", "first-stick", "width", "comfort"),
    because="The forearm is spared for the days to come.",
)


def test_a_whole_case_has_no_fault() -> None:
    assert list(CASE.faults()) == []


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"ways": CASE.ways[:3]}, "3 ways, and there must be 4"),
        ({"reasons": CASE.reasons[1:] + options("ice")}, ""),
        ({"reasons": CASE.reasons[:3] + options("ice")}, "2 of the reasons are right"),
        ({"ways": (*CASE.ways[1:], Option("x", "y", "z"))}, "0 of the ways are right"),
        ({"reasons": options("hand", "a", "b", "c")}, "two options have the key 'hand'"),
        (
            {"reasons": (*CASE.reasons[:3], replace(CASE.reasons[1], key="other"))},
            "two options say 'Do first-stick.'",
        ),
        ({"because": " "}, "its because is empty"),
    ],
)
def test_each_fault_is_named(changed: dict, said: str) -> None:
    found = list(replace(CASE, **changed).faults())
    assert bool(found) == bool(said)
    if said:
        assert any(said in fault for fault in found)
