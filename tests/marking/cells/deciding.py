"""Decide the marks of a workspace's hand-ins as a program of its own, whoever runs it.

    python deciding.py WORKSPACE SECONDS [unprotected | refused-inside]

It prints, by learner, state and reason of the hand-in, and outcome, points and words of its code
item, as JSON. With ``refused-inside`` the kernel lets the processes in the sandbox make no
namespaces of their own.
"""

import json
import sys
from pathlib import Path

from cubital.handin.results import SubmissionResult
from cubital.marking.cells import bubblewrap
from cubital.marking.cohort.course import Course
from cubital.marking.marks import decisions
from cubital.marking.marks.inspecting import Releases, inspect

WORKSHEET = "catheter-sizing"
CODE = "own-ratio"


def told(result: SubmissionResult) -> list[object]:
    """What the tests ask of a result."""
    for row in result.items:
        if row.item == CODE:
            words = f"{row.message} {row.action}".strip()
            return [result.state, result.reason, row.outcome, row.points, words]
    return [result.state, result.reason, "", None, ""]


def refuse_inside() -> None:
    """Take away what the processes in the sandbox need to make namespaces."""
    made = bubblewrap.command

    def command(*given: object, **more: object) -> list[str]:
        words = made(*given, **more)
        if "--unshare-user" in words:
            return [words[0], "--disable-userns", *words[1:]]
        at = words.index("CAP_SYS_ADMIN")
        return [*words[: at - 1], *words[at + 1 :]]

    bubblewrap.command = command


def main(workspace: Path, seconds: float, how: str = "") -> None:
    """Inspect, run and check all hand-ins; nothing of it is written."""
    if how == "refused-inside":
        refuse_inside()
    course = Course(workspace)
    releases = Releases(course.release(WORKSHEET), course.releases(WORKSHEET))
    found = [
        inspect(course.submitted(learner, WORKSHEET), learner, releases)
        for learner in course.roster()
    ]
    ready = [seen.submission for seen in found if seen.submission is not None]
    results = decisions.decide_all(
        course,
        decisions.Bases(course),
        ready,
        timeout_s=seconds,
        workers=2,
        unprotected=how == "unprotected",
    )
    print(json.dumps({row.result.learner: told(row.result) for row in results}))


if __name__ == "__main__":
    main(Path(sys.argv[1]), float(sys.argv[2]), *sys.argv[3:])
