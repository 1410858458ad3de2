"""The field under a question in the browser: how an answer is typed, marked on a picture, by
mouse, keyboard or screen reader; saved, refused or told right at once; the button that hands in;
`ask`."""

from cubital.worksheet.asking import ask
from cubital.worksheet.handing_in import hand_in_here

__all__ = ["ask", "hand_in_here"]
