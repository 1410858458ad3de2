"""A retake: a worksheet of its own that asks one principle again, for one learner and attempt."""

import re

from cubital import items
from cubital.items.principles.asked import FIRST, SECOND, item_id
from cubital.items.principles.course import PRINCIPLES
from cubital.tables import Objective

MOST_ATTEMPTS = 3  # at the worksheet, and two retakes
PATTERN = r"retake-[a-z-]+-[2-9]"
_NAME = re.compile(r"retake-(?P<principle>[a-z-]+)-(?P<attempt>[2-9])")


def worksheet_name(principle: str, attempt: int) -> str:
    """Return the name of the worksheet on which a principle is asked at an attempt."""
    return f"retake-{principle}-{attempt}"


def is_retake(worksheet: str) -> bool:
    """Tell whether a worksheet's name is a retake's."""
    return principle_of(worksheet) is not None


def principle_of(worksheet: str) -> str | None:
    """Return the principle that a retake asks, or None if it is none."""
    found = _NAME.fullmatch(worksheet)
    return found["principle"] if found and found["principle"] in PRINCIPLES else None


def attempt_of(worksheet: str) -> int:
    """Return at which attempt a worksheet asks principles: 1, or a retake's."""
    found = _NAME.fullmatch(worksheet)
    return int(found["attempt"]) if found else 1


def home_of(principle: str) -> str:
    """Return the worksheet that asks for a principle; an unknown one raises ValueError."""
    first = item_id(principle, FIRST)
    for worksheet, listed in items.WORKSHEETS.items():
        if any(item.id == first for item in listed):
            return worksheet
    raise ValueError(f"there is no principle “{principle}”; there are: {', '.join(PRINCIPLES)}")


def critical_ids(principle: str) -> tuple[str, str]:
    """Return the ids of the two questions on a principle that must be right."""
    return item_id(principle, FIRST), item_id(principle, SECOND)


def objective_of(worksheet: str, observed_practice: str = "") -> Objective:
    """Return the rule of a retake: both questions that must be right are right."""
    key = principle_of(worksheet)
    if key is None:
        raise ValueError(f"“{worksheet}” is no retake")
    principle = PRINCIPLES[key]
    critical = critical_ids(key)
    return Objective(
        key=worksheet,
        title=principle.title,
        topic=worksheet,
        lesson="",
        section=principle.section,
        items=critical,
        critical=critical,
        pass_share=1.0,
        observed_practice=observed_practice,
    )
