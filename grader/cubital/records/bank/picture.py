"""The picture of an item's value space, told apart by place, hatching and words."""

import io
from typing import Any

from cubital.items.kinds.computed import RIGHT
from cubital.records.bank.space import Count, Space, Spread

_INK, _FILL, _SLIP = "#1d2b33", "#9db8c2", "#ffffff"
_WIDTH_IN = 8.2
_ROW_IN = 0.3
_WIDE = 30.0  # highest over lowest from which an axis is logarithmic
_BINS = 24
_LONGEST = 44  # characters of a label
_STYLE = {
    "font.family": "DejaVu Sans",
    "font.size": 9,
    "svg.hashsalt": "cubital",
    "axes.spines.top": False,
    "axes.spines.right": False,
    "hatch.linewidth": 0.6,
}


def space_svg(space: Space) -> str:
    """Draw a value space as SVG: first what comes out, then what is drawn."""
    import matplotlib as mpl  # noqa: PLC0415 - slow to import
    from matplotlib.figure import Figure  # noqa: PLC0415

    drawn = [count for count in space.counts if len(count.rows) > 1]  # the same for all: no news
    outcomes = [space.outcomes] if space.outcomes else []
    panels = [*outcomes, *space.answers, *space.spreads, *drawn]
    if not panels:
        return ""
    heights = [1.0 + _ROW_IN * _rows(panel) for panel in panels]
    with mpl.rc_context(_STYLE):
        figure = Figure(figsize=(_WIDTH_IN, sum(heights)), layout="constrained")
        axes = figure.subplots(len(panels), 1, squeeze=False, height_ratios=heights)[:, 0]
        for axis, panel in zip(axes, panels, strict=True):
            _draw(axis, panel, space)
        held = io.StringIO()
        figure.savefig(held, format="svg", metadata={"Date": None})
    return held.getvalue()


def _rows(panel: Any) -> int:
    if isinstance(panel, Count):
        return len(panel.rows)
    return 3 if isinstance(panel, Spread) else len(panel)


def _draw(axis: Any, panel: Any, space: Space) -> None:
    if isinstance(panel, Count):
        _bars(axis, panel)
    elif isinstance(panel, Spread):
        axis.hist(
            panel.numbers,
            bins=min(_BINS, len(set(panel.numbers))),
            color=_FILL,
            edgecolor=_INK,
            linewidth=0.5,
        )
        axis.set_ylabel("learners")
        axis.set_title(f"Drawn: {panel.name}", loc="left")
    else:
        _boxes(axis, panel, space)


def _boxes(axis: Any, outcomes: tuple[Spread, ...], space: Space) -> None:
    shown = outcomes[::-1]  # the first stands at the top
    boxes = axis.boxplot(
        [row.numbers for row in shown],
        orientation="horizontal",
        whis=(0, 100),
        patch_artist=True,
        widths=0.6,
        medianprops={"color": _INK, "linewidth": 2},
    )
    for box, row in zip(boxes["boxes"], shown, strict=True):
        right = row.name == RIGHT
        box.set(facecolor=_FILL if right else _SLIP, edgecolor=_INK, hatch="" if right else "///")
    axis.set_yticks(range(1, len(shown) + 1), [_label(row.name) for row in shown])
    numbers = [number for row in outcomes for number in row.numbers]
    if min(numbers) > 0 and max(numbers) / min(numbers) > _WIDE:
        axis.set_xscale("log")
    axis.set_xlabel(space.unit or "number")
    axis.set_title("Comes out: the right answer (plain) and each slip (hatched)", loc="left")


def _bars(axis: Any, count: Count) -> None:
    rows = count.rows[::-1]
    bars = axis.barh(range(len(rows)), [number for _, number in rows], color=_FILL, edgecolor=_INK)
    axis.bar_label(bars, padding=3)
    axis.set_yticks(range(len(rows)), [_label(name) for name, _ in rows])
    axis.margins(x=0.1)
    axis.xaxis.get_major_locator().set_params(integer=True)
    axis.set_title(count.name, loc="left")


def _label(text: str) -> str:
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"
