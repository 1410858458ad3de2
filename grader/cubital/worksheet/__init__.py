"""The learner's worksheet: `ask` shows a question's field, or marks it under nbgrader."""

from cubital.worksheet.asking import ask

__all__ = ["ask"]
