"""The learner's worksheet: `ask` shows a question's field, or marks it under nbgrader."""

from cubital.worksheet.asking import ask
from cubital.worksheet.handing_in import hand_in_here

__all__ = ["ask", "hand_in_here"]
