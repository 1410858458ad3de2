"""A lesson as a learner's department has it: without the sentences that its reviews make untrue.

The course's notebook stays as it is; what is laid out for a learner differs from it.
"""

import re
from datetime import date
from pathlib import Path
from typing import Any

from cubital.handin.released.department import Department, department_of
from cubital.tables import course

Notebook = dict[str, Any]

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
    for cell in notebook["cells"]:
        text = "".join(cell["source"])
        said = _reviewed(text, name, department, today) if _is_text(cell) else text
        if said != text:
            cell["source"] = said
    return notebook


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
