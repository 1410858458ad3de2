"""nbgrader's own autograde gives the demo's whole cohort the same automatic points."""

import shutil

from cubital.demo import run
from cubital.handin.results import MARKED
from cubital.marking.cohort.course import Course
from cubital.marking.marks import gradebook

WORKSHEET = "catheter-sizing"


def automatic_points(course, learners):
    """Read each learner's computed points, item by item, from nbgrader's gradebook."""
    with course.gradebook() as book:
        return {
            learner: {
                grade.name: grade.auto_score
                for grade in book.find_submission_notebook(WORKSHEET, WORKSHEET, learner).grades
            }
            for learner in learners
        }


def test_stock_autograde_agrees_on_every_readable_demo_submission(tmp_path, nbgrader):
    assert run(tmp_path / "ours").differences == ()
    ours = Course(tmp_path / "ours")
    marked = [r.learner for r in gradebook.results(ours, WORKSHEET) if r.state == MARKED]
    assert len(marked) == 21

    shutil.copytree(ours.workspace, tmp_path / "stock")
    stock = Course(tmp_path / "stock")
    shutil.rmtree(stock.workspace / "autograded")
    with stock.gradebook() as book:
        for learner in marked:
            book.remove_submission(WORKSHEET, learner)
    for folder in (stock.workspace / "submitted").iterdir():
        if folder.name not in marked:
            shutil.rmtree(folder)

    nbgrader(stock.workspace, "autograde", WORKSHEET)
    assert automatic_points(stock, marked) == automatic_points(ours, marked)
