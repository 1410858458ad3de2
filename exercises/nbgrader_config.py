"""nbgrader's settings for a cohort's workspace.

They hold for nbgrader's own commands and its form grader as for the course's own marking. What
is set in the environment here reaches learners' code: no secret belongs in this file. nbgrader's
steps are named as texts, so that a command that takes none of them need not load them.
"""

import os

from cubital.handin.released.stubs import CODE_STUB, TEXT_STUB

c = get_config()  # noqa: F821 - nbgrader provides it

c.CourseDirectory.course_id = "peripheral-access"

# A submitted file or folder named like a library must not be imported instead of it.
os.environ["PYTHONSAFEPATH"] = "1"

# What stands in the learners' version where the source has its solution.
c.ClearSolutions.code_stub = {"python": CODE_STUB}
c.ClearSolutions.text_stub = TEXT_STUB

# First put each submission in order: locked cells from the release, deleted cells back, saved
# answers in their cells.
c.Autograde.sanitize_preprocessors.insert(0, "cubital.marking.feedback.preprocessors.Mend")
c.OverwriteCells.add_missing_cells = True
c.Execute.timeout = 60

# The page that learners get back.
c.GenerateFeedback.exporter_class = "cubital.marking.feedback.exporting.PageExporter"
c.GenerateFeedback.preprocessors = []  # the page needs nothing of the notebook prepared

# Files named as `cubital hand-in` names them, for those who use `nbgrader zip_collect`.
c.FileNameCollectorPlugin.valid_ext = [".ipynb", ".json", ".txt"]
c.FileNameCollectorPlugin.named_regexp = (
    r".*[/\\][a-z0-9-]+_(?P<student_id>[a-z0-9._-]+)_(?P<timestamp>\d{8}-\d{6})"
    r"[/\\](?P<file_id>[^/\\]+)\.[a-z]+"
)
