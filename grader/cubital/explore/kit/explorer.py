"""The base of the lessons' interactive figures: state in traits, one pure picture of it."""

from __future__ import annotations

import asyncio
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import anywidget
import numpy as np
import traitlets

from cubital import tables
from cubital.explore.kit.drawing import StaticFigure, png_of
from cubital.tables.files import script, style

DIGITS = 9  # of a slider's value, as the page's own numbers are written
LOOK_AHEAD_S = 0.001  # after the picture that was asked for has gone out
SIMULATED = "Simulated, not clinically validated."


@dataclass(frozen=True)
class Reading:
    """One line beside a figure: what it is, its value with the unit, and a remark."""

    label: str
    value: str
    note: str = ""


@dataclass(frozen=True)
class Picture:
    """All that an explorer shows for one state.

    `numbers` are the unrounded values behind it, in a frozen dataclass of the figure's own. A
    grey `frame` (rows, columns; one byte each) stands above the drawing, with nothing on it.
    """

    svg: str
    alt: str
    spoken: str
    readings: tuple[Reading, ...]
    numbers: object = None
    frame: np.ndarray | None = None

    def message(self) -> dict[str, object]:
        """What the browser needs, as plain data."""
        return {
            "svg": self.svg,
            "alt": self.alt,
            "spoken": self.spoken,
            "readings": [[r.label, r.value, r.note] for r in self.readings],
            "frame": self._frame(),
        }

    def _frame(self) -> dict[str, object] | None:
        if self.frame is None:
            return None
        height, width = self.frame.shape
        return {"width": width, "height": height, "grey": np.ascontiguousarray(self.frame).data}


class Quantity(traitlets.TraitType[float, float]):
    """A measured value that a slider sets, in the table's usual range or a part of it."""

    def __init__(
        self,
        default: float,
        *,
        of: str,
        step: float,
        label: str,
        unit_words: str,
        part: tuple[float, float] | Callable[[], tuple[float, float]] | None = None,
    ) -> None:
        super().__init__(default)
        self.of, self.step, self.label, self.unit_words = of, step, label, unit_words
        self.part = part
        self.tag(sync=True)

    def span(self) -> tuple[float, float]:
        """The slider's ends."""
        if callable(self.part):  # it goes by the department's device
            return self.part()
        limit = tables.limits()[self.of]
        return self.part or (limit.usual_low, limit.usual_high)

    def control(self, name: str) -> dict[str, object]:
        """The slider as plain data."""
        low, high = self.span()
        return {
            "name": name,
            "label": self.label,
            "unit": tables.limits()[self.of].unit,
            "unit_words": self.unit_words,
            "low": low,
            "high": high,
            "step": self.step,
            "digits": max(0, -math.floor(math.log10(self.step))),
        }

    def validate(self, obj: object, value: Any) -> float:
        """Let through a number in the slider's range; name quantity, value, unit and range."""
        limit = tables.limits()[self.of]
        (low, high), unit = self.span(), limit.unit
        is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
        if not is_number or not low <= value <= high:
            shown = f"{value:g}" if is_number else repr(value)
            raise traitlets.TraitError(
                f"{limit.quantity} is {shown} {unit}: here it must be from "
                f"{low:g} to {high:g} {unit}"
            )
        return float(value)


class Count(traitlets.TraitType[int, int]):
    """A whole number that a slider sets, such as the frame of a series."""

    def __init__(
        self, default: int, *, low: int, high: int, label: str, unit: str, unit_words: str
    ) -> None:
        super().__init__(default)
        self.low, self.high, self.label = low, high, label
        self.unit, self.unit_words = unit, unit_words
        self.tag(sync=True)

    def control(self, name: str) -> dict[str, object]:
        """The slider as plain data."""
        return {
            "name": name,
            "label": self.label,
            "unit": self.unit,
            "unit_words": self.unit_words,
            "low": self.low,
            "high": self.high,
            "step": 1,
            "digits": 0,
        }

    def validate(self, obj: object, value: Any) -> int:
        """Let through a whole number in the slider's range."""
        is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
        if not is_number or value != value // 1 or not self.low <= value <= self.high:
            raise traitlets.TraitError(
                f"{self.label.lower()} is {value!r} {self.unit}: "
                f"it must be a whole number from {self.low} to {self.high} {self.unit}"
            )
        return int(value)


class Choice(traitlets.TraitType[Any, Any]):
    """A value out of a short list, set by a drop-down."""

    def __init__(self, default: object, *, label: str, unit: str = "") -> None:
        super().__init__(default)
        self.label, self.unit = label, unit
        self.tag(sync=True)

    def options(self) -> Mapping[Any, str]:
        """The values that may be chosen, with the words shown for each."""
        raise NotImplementedError

    def control(self, name: str) -> dict[str, object]:
        """The drop-down as plain data."""
        return {"name": name, "label": self.label, "options": list(self.options().items())}

    def validate(self, obj: object, value: object) -> object:
        """Let through a listed value; name the quantity, the value and the list."""
        known = list(self.options())
        if isinstance(value, bool) or value not in known:
            listed = ", ".join(k if isinstance(k, str) else f"{k:g}" for k in known)
            raise traitlets.TraitError(
                f"{self.label.lower()} is {value!r}{self.unit and ' ' + self.unit}: "
                f"it must be one of {listed}{self.unit and ' ' + self.unit}"
            )
        return known[known.index(value)]


class Explorer(anywidget.AnyWidget):
    """A figure with sliders: a subclass has state traits and a pure `compute(state)`."""

    _esm = script(Path(__file__).parent / "explorer.js")
    _css = style("explorer.css")

    inputs: tuple[str, ...] = ()
    """The state traits in the order in which their controls stand."""
    kept: tuple[str, ...] = ()
    """State traits that no control sets, such as the result of the button's last run."""

    title = traitlets.Unicode().tag(sync=True)
    notice = traitlets.Unicode().tag(sync=True)
    controls: traitlets.List[Any] = traitlets.List().tag(sync=True)
    picture = traitlets.Dict().tag(sync=True)
    action = traitlets.Unicode().tag(sync=True)
    """The words on a button for a calculation that takes seconds; none if empty."""
    progress = traitlets.Float(-1.0).tag(sync=True)
    """The share of that calculation that is done; below 0 while none runs."""

    def __init__(self, **start: object) -> None:
        unknown = [name for name in start if name not in self.inputs]
        if unknown:
            raise TypeError(
                f"{type(self).__name__} has no {', '.join(unknown)}: "
                f"it can be started with {', '.join(self.inputs)}"
            )
        self._ahead: tuple[dict[str, object], Picture] | None = None
        super().__init__(**start)
        self.observe(self._redraw, names=[*self.inputs, *self.kept])
        self.on_msg(self._pressed)

    @staticmethod
    def compute(state: Mapping[str, Any]) -> Picture:
        """The picture of a state; nothing else goes in."""
        raise NotImplementedError

    def act(self, progress: Callable[[int, int], object]) -> None:
        """What the button does; `progress` takes what is done and all there is to do."""
        raise NotImplementedError

    def _pressed(self, _widget: object, content: object, _buffers: object) -> None:
        if not self.action or content != "act":
            return
        self.progress = 0.0
        try:
            self.act(lambda done, of: setattr(self, "progress", round(done / of, 2)))
        finally:
            self.progress = -1.0
        self._redraw(None)

    def state(self) -> dict[str, Any]:
        """The values that the controls stand at, and what is kept beside them."""
        return {name: getattr(self, name) for name in (*self.inputs, *self.kept)}

    def show(self) -> Picture:
        """The picture of the present state."""
        state = self.state()
        if self._ahead is not None and self._ahead[0] == state:
            return self._ahead[1]
        return self.compute(state)

    def static(self) -> StaticFigure:
        """The present figure as an image with its words, for paper."""
        picture = self.show()
        return StaticFigure(
            alt=picture.alt,
            svg=picture.svg,
            caption=f"{self.title}. {SIMULATED}",
            png=None if picture.frame is None else png_of(picture.frame),
        )

    @traitlets.default("controls")
    def _controls(self) -> list[dict[str, object]]:
        return [self.traits()[name].control(name) for name in self.inputs]

    @traitlets.default("picture")
    def _picture(self) -> dict[str, object]:
        return self._message()

    def _message(self) -> dict[str, object]:
        """What the page needs of the present picture, with the controls' state that it is of."""
        return self.show().message() | {"of": {name: getattr(self, name) for name in self.inputs}}

    def _redraw(self, change: Any) -> None:
        self.picture = self._message()
        if change is not None:
            self._look_ahead(change)

    def _look_ahead(self, change: Any) -> None:
        """While the page paints, work out the picture of one step more of the same kind.

        A held key or a drawn slider asks for it next; nothing is shown of it until then.
        """
        try:
            loop = asyncio.get_running_loop()
            further = round(2 * change["new"] - change["old"], DIGITS)
            value = self.traits()[change["name"]].validate(self, further)
        except (RuntimeError, TypeError, traitlets.TraitError):
            return  # no loop here, not a number, or beyond the slider's end
        state = self.state() | {change["name"]: value}

        def work_out() -> None:
            if self.state() | {change["name"]: value} == state:
                self._ahead = state, self.compute(state)

        loop.call_later(LOOK_AHEAD_S, work_out)

    def _repr_mimebundle_(self, **kwargs: Any) -> tuple[dict[Any, Any], dict[Any, Any]]:
        """The live view; where none can run, the figure as it stands and its words."""
        shown = super()._repr_mimebundle_(**kwargs)
        data, metadata = shown or ({}, {})
        figure = self.static()
        return {**data, "text/plain": figure.alt, "text/html": figure._repr_html_()}, metadata

    def __repr__(self) -> str:
        values = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.inputs)
        return f"{type(self).__name__}({values})"
