"""Collect what was put into the inbox."""

from dataclasses import dataclass
from pathlib import Path

from cubital.educator.left import Left, left_files, passed_over
from cubital.educator.workspace import opened
from cubital.marking.cohort import collecting
from cubital.marking.counting.looking import late_only, to_look_at


@dataclass(frozen=True)
class Collected:
    """Who of how many learners has handed in, and what was not taken.

    ``passed_over`` is nobody's hand-in; ``left`` could not be taken, is late and so does not count,
    or looks wrong.
    """

    learners: int
    handed_in: tuple[str, ...]
    passed_over: tuple[Left, ...]
    left: tuple[Left, ...]


def collect(workspace: Path, worksheet: str) -> Collected:
    """Keep all hand-ins of the inbox, and take the one of each learner that counts.

    Raises
    ------
    CourseError
        The folder, the roster or the worksheet cannot be used, or somebody is at work there.
    """
    course = opened(workspace)
    problems = collecting.collect(course, worksheet)
    problems += [*late_only(course, worksheet), *to_look_at(course, worksheet)]
    roster = course.roster()
    return Collected(
        learners=len(roster),
        handed_in=tuple(who for who in roster if course.submitted(who, worksheet).is_dir()),
        passed_over=passed_over(problems),
        left=left_files(problems),
    )
