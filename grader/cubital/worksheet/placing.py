"""Marks on a picture, placed by mouse, touch, arrow keys or typed numbers alike."""

from __future__ import annotations

from pathlib import Path

import anywidget
import numpy as np
import traitlets

from cubital.tables.reading import script

MOST = 30


class PlaceMarks(anywidget.AnyWidget):
    """A grey picture on which the learner marks places; columns and rows count from 0 [px]."""

    _esm = script(Path(__file__).parent / "placing.js")
    _css = Path(__file__).parent / "placing.css"

    title = traitlets.Unicode().tag(sync=True)
    alt = traitlets.Unicode().tag(sync=True)
    frame = traitlets.Dict().tag(sync=True)
    marks = traitlets.List().tag(sync=True)
    said = traitlets.Unicode().tag(sync=True)

    def __init__(self, frame: np.ndarray, *, title: str, alt: str, at_most: int = MOST) -> None:
        self.height, self.width = frame.shape
        self.at_most = at_most
        grey = np.ascontiguousarray(frame, np.uint8)
        super().__init__(
            title=title,
            alt=alt,
            frame={"width": self.width, "height": self.height, "grey": grey.data},
        )
        self.on_msg(self._received)

    def place(self, column: object, row: object) -> None:
        """Add a mark.

        Raises
        ------
        ValueError
            It lies outside the picture, is there already, or is one too many.
        """
        for name, value, size in (("column", column, self.width), ("row", row, self.height)):
            if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < size:
                raise ValueError(
                    f"the {name} is {value!r}: it must be a whole number from 0 to {size - 1}"
                )
        if [column, row] in self.marks:
            raise ValueError(f"there is a mark at column {column}, row {row} already")
        if len(self.marks) >= self.at_most:
            raise ValueError(f"there are {self.at_most} marks, as many as may be: take one away")
        self.marks = [*self.marks, [column, row]]

    def take_away(self, column: int, row: int) -> None:
        """Take a mark away, if it is there."""
        self.marks = [mark for mark in self.marks if mark != [column, row]]

    def _received(self, _widget: object, content: dict, _buffers: object) -> None:
        column, row = content["column"], content["row"]
        if content["what"] == "away":
            self.take_away(column, row)
            self._say(f"Mark at column {column}, row {row} taken away; {len(self.marks)} left")
            return
        try:
            self.place(column, row)
        except ValueError as error:
            self._say(f"No mark placed: {error}")
        else:
            self._say(f"Mark {len(self.marks)} placed at column {column}, row {row}")

    def _say(self, words: str) -> None:
        self.said = ""  # the same words twice are said twice
        self.said = words
