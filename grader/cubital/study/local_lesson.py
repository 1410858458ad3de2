"""A lesson as a learner's department has it: with its figures, and without the sentences that its
reviews make untrue.

The course's notebook stays as it is; what is laid out for a learner differs from it.
"""

import re
from datetime import date
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cubital import tables
from cubital.handin.released.department import Department, department_of
from cubital.tables import course
from cubital.tables.approving import day

if TYPE_CHECKING:
    from cubital.explore.kit.department import Said

Notebook = dict[str, Any]

_TOPICS = {
    "20-focal-geometry": "focus",
    "40-catheter-sizing": "sizing",
    "70-readiness": "readiness",
}

# In a short lesson's first text; the page itself says who reviewed it.
_NOT_REVIEWED = re.compile(r"\*\*No clinician has reviewed this yet\.\*\* Until [^.]*\. ?")
# In the texts about the course: each as it ships, and as it is once a review stands.
_ELSEWHERE = (
    (
        "and no clinician has reviewed them yet",
        "and the top of each says whether a clinician has reviewed it",
    ),
    (
        "No clinician has reviewed these two yet, and no",
        "The top of each says whether a clinician has reviewed it. No",
    ),
)


def localised(notebook: Notebook, name: str, learner: Path, today: date | None = None) -> Notebook:
    """Return a lesson's notebook for a learner, whose folder says which department is theirs."""
    today = today or date.today()
    department = department_of(learner)
    own = _own_sentences(name, department)
    for cell in filter(_is_text, notebook["cells"]):
        text = "".join(cell["source"])
        said = _reviewed(text, name, department, today)
        for one in own:
            if one.cell == cell["id"]:
                said = said.replace(one.shipped, one.own) if one.shipped else f"{said}\n\n{one.own}"
        if said != text:
            cell["source"] = said
    return notebook


def _own_sentences(name: str, department: Department) -> tuple["Said", ...]:
    """Return what a lesson says otherwise with a department's figures, and whose these are."""
    topic = _TOPICS.get(name)
    profile = department.profile
    if topic is None or tables.followed(profile) == tables.followed(tables.profile()):
        return ()
    from cubital.explore.kit.department import Said, whose  # noqa: PLC0415 - few learners need it

    module = import_module(f"cubital.explore.{topic}.own_figures")
    if profile.approved_by:
        approved = f"approved by {profile.approved_by} on {day(profile.approved_on)}"
    else:
        approved = "which nobody has approved yet"
    note = (
        f"**The figures of {whose(profile)}**, {approved}, stand in this lesson where it says so. "
        "Those of patients, and whatever else is invented, stay the course's."
    )
    return (Said("objectives", note), *module.own_sentences(profile))


def _is_text(cell: dict[str, Any]) -> bool:
    return bool(cell["cell_type"] == "markdown")


def _reviewed(text: str, name: str, department: Department, today: date) -> str:
    if department.has_reviewed(name, today):
        text = _NOT_REVIEWED.sub("", text).rstrip()
    short = [row.name for row in course.lessons() if not row.worksheet]
    if any(department.has_reviewed(row, today) for row in short):
        for shipped, instead in _ELSEWHERE:
            text = text.replace(shipped, instead)
    return text
