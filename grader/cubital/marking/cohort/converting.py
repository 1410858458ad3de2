"""Run one of nbgrader's own steps on a course, quietly, and raise if it failed."""

import logging
import warnings
from typing import Any

from nbgrader import coursedir

from cubital.marking.cohort.course import Course, tools_found
from cubital.marking.errors import CourseError

_LINES_TOLD = 3


class ConversionError(CourseError):
    """nbgrader could not do its step; the text holds what its log says."""


def convert(
    course: Course, converter: type[Any], worksheet: str, learner: str = "*", **settings: Any
) -> list[str]:
    """Run a converter for one worksheet and return its warnings.

    Its log is kept off the terminal; an error in it raises, since nbgrader itself reports some
    failures by its log alone.
    """
    lines = _Lines()
    log = logging.Logger("cubital.nbgrader", logging.WARNING)
    log.addHandler(lines)
    where = coursedir.CourseDirectory(config=course.config, root=str(course.workspace), log=log)
    where.assignment_id, where.student_id = worksheet, learner
    step = converter(coursedir=where, config=course.config, log=log)
    for name, value in settings.items():
        setattr(step, name, value)
    try:
        with tools_found(), warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of the libraries below, about each other
            step.start()
    except (Exception, SystemExit) as error:
        raise ConversionError(_told(converter, lines.errors or [str(error)])) from error
    if lines.errors:
        raise ConversionError(_told(converter, lines.errors))
    return lines.warnings


def _told(converter: type[Any], errors: list[str]) -> str:
    last = [line for text in errors for line in text.strip().splitlines()[-1:]]
    return f"nbgrader's {converter.__name__} failed: {' | '.join(last[-_LINES_TOLD:])}"


class _Lines(logging.Handler):
    def __init__(self) -> None:
        super().__init__()
        self.errors: list[str] = []
        self.warnings: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        kind = self.errors if record.levelno >= logging.ERROR else self.warnings
        kind.append(record.getMessage())
