"""A picture in words: good enough to answer and to mark without seeing it.

The words say what can be seen and nothing more: not which band is a vein, nor what a change means.
Simulated, not clinically validated.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from cubital.scene.bands import Band, bands, narrowings, waypoints
from cubital.scene.record import read_truth

DARK, CLEAR = 0.20, 0.08  # shares of brightness taken: dark from the first, faint below the second
EVEN_SHARE = 0.2  # a band whose ends differ less than this in width is evenly wide
ARM_MM = 6.0  # how far from a fork its arms' directions are taken
HOURS = 12
THIRDS = (("upper left", "upper middle", "upper right"),
          ("middle left", "middle", "middle right"),
          ("lower left", "lower middle", "lower right"))  # fmt: skip
NO_CHANGE = "No change is seen between the frames."


@dataclass(frozen=True)
class Description:
    """A picture, or a series, in sentences and as the data they are made of."""

    sentences: tuple[str, ...]
    data: dict[str, Any]
    notice: str

    @property
    def text(self) -> str:
        """All sentences with the notice last, one a line."""
        return "\n".join((*self.sentences, f"The picture is {self.notice}."))


def _at(column: int, row: int) -> str:
    return f"(column {column}, row {row})"


def _whole(picture: Mapping[str, Any], column: float, row: float) -> tuple[int, int]:
    """Return the pixel on which a place lies: one of the picture, also at its edge."""
    return (
        min(max(round(float(column)), 0), picture["width_px"] - 1),
        min(max(round(float(row)), 0), picture["height_px"] - 1),
    )


def _pixel(picture: Mapping[str, Any], place: Mapping[str, Any]) -> dict[str, int]:
    """Return the pixel on which something of a truth lies, by name."""
    column, row = _whole(picture, place["column"], place["row"])
    return {"column": column, "row": row}


def third(picture: Mapping[str, Any], column: float, row: float) -> str:
    """Return in which of the picture's nine parts a place lies.

    Examples
    --------
    >>> third({"width_px": 640, "height_px": 480}, 600, 10)
    'upper right'
    """
    across = min(int(3 * (column + 0.5) / picture["width_px"]), 2)
    down = min(int(3 * (row + 0.5) / picture["height_px"]), 2)
    return THIRDS[max(down, 0)][max(across, 0)]


def edge(picture: Mapping[str, Any], column: float, row: float) -> str:
    """Return the edge of the picture nearest to a place.

    Examples
    --------
    >>> edge({"width_px": 640, "height_px": 480}, 300, 2)
    'top edge'
    """
    away = {
        "left edge": column,
        "right edge": picture["width_px"] - 1 - column,
        "top edge": row,
        "bottom edge": picture["height_px"] - 1 - row,
    }
    return min(away, key=away.__getitem__)


def clock(columns: float, rows: float) -> int:
    """Return a direction in the picture by the clock's face: 12 is up, 3 to the right.

    Examples
    --------
    >>> [clock(0, -5), clock(5, 0), clock(0, 5), clock(-5, 0)]
    [12, 3, 6, 9]
    """
    return round(np.degrees(np.arctan2(columns, -rows)) / 360 * HOURS) % HOURS or HOURS


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def darkness(contrast: float) -> str:
    """Return the word for how dark a band is by the share of brightness it takes.

    Examples
    --------
    >>> [darkness(contrast) for contrast in (0.3, 0.1, 0.02)]
    ['dark', 'less dark', 'faint']
    """
    if contrast >= DARK:
        return "dark"
    return "less dark" if contrast >= CLEAR else "faint"


def _end_words(picture: Mapping[str, Any], end: str, column: float, row: float) -> str:
    if end == "edge":
        return f"the {edge(picture, column, row)} {_at(column, row)}"
    part = f"the {third(picture, column, row)} of the picture {_at(column, row)}"
    if end.startswith("bifurcation"):
        return f"a fork in {part}"
    return f"where it fades in {part}" if end == "fades" else f"its end in {part}"


def _band_data(picture: Mapping[str, Any], number: int, band: Band) -> dict[str, Any]:
    way = waypoints(band.column, band.row)
    places = [list(_whole(picture, band.column[at], band.row[at])) for at in way]
    third_of = max(len(band.width_mm) // 3, 1)
    return {
        "band": number,
        "starts": "fork" if band.starts.startswith("bifurcation") else band.starts,
        "stops": "fork" if band.stops.startswith("bifurcation") else band.stops,
        "way": places,
        "length_mm": round(band.length_mm),
        "darker_percent": round(100 * float(np.median(band.contrast))),
        "darkness": darkness(float(np.median(band.contrast))),
        "width_mm": round(float(np.median(band.width_mm)), 1),
        "start_width_mm": round(float(np.median(band.width_mm[:third_of])), 1),
        "end_width_mm": round(float(np.median(band.width_mm[-third_of:])), 1),
    }


def _band_sentences(picture: Mapping[str, Any], band: Band, data: Mapping[str, Any]) -> list[str]:
    name, way = f"Band {data['band']}", data["way"]
    first, *between, last = way
    by = f", by {_listed([_at(*place) for place in between])}," if between else ""
    starts, stops = (
        _end_words(picture, end, *place)
        for end, place in ((band.starts, first), (band.stops, last))
    )
    wide, ends = data["width_mm"], (data["start_width_mm"], data["end_width_mm"])
    if abs(ends[0] - ends[1]) < EVEN_SHARE * max(ends):
        width = f"about {wide} mm wide"
    else:
        width = f"about {ends[0]} mm wide at first and {ends[1]} mm at last"
    return [
        f"{name} runs from {starts}{by} to {stops}; it is about {data['length_mm']} mm long.",
        f"{name} is {data['darkness']}: about {data['darker_percent']} % darker than the skin "
        f"beside it, and {width}.",
    ]


def _arm_hours(truth: Mapping[str, Any], key: str, column: float, row: float) -> list[int]:
    """Return the directions in which the seen arms leave a fork, by the clock."""
    found = []
    for segment in truth["segments"]:
        for end, order in ((segment["starts"], 1), (segment["stops"], -1)):
            if end == key and segment["visible"]:
                along = np.array(segment["along_mm"][::order])
                at = int(np.argmin(np.abs(np.abs(along - along[0]) - ARM_MM)))
                place = segment["column"][::order][at], segment["row"][::order][at]
                found.append(clock(place[0] - column, place[1] - row))
    return sorted(found, key=lambda hour: hour % HOURS)


def _numbers(found: tuple[Band, ...], keys: list[str]) -> list[int]:
    """Return the numbers of the bands that hold any of these segments."""
    return [at for at, band in enumerate(found, 1) if set(band.segments) & set(keys)]


def _forks(truth: Mapping[str, Any], found: tuple[Band, ...]) -> list[dict[str, Any]]:
    rows = []
    for fork in truth["bifurcations"]:
        if fork["visible"]:
            place = _pixel(truth["picture"], fork)
            hours = _arm_hours(truth, fork["key"], fork["column"], fork["row"])
            rows.append({**place, "bands": _numbers(found, fork["arms"]), "arms_at": hours})
    return sorted(rows, key=lambda row: (row["row"], row["column"]))


def _knots(truth: Mapping[str, Any], found: tuple[Band, ...]) -> list[dict[str, Any]]:
    rows = []
    for valve in truth["valves"]:
        if not valve["visible"]:
            continue
        segment = next(row for row in truth["segments"] if row["key"] == valve["segment"])
        along = np.array(segment["along_mm"])
        at = int(np.clip(np.searchsorted(along, valve["along_mm"]), 1, len(along) - 1))
        flow = [segment[axis][at] - segment[axis][at - 1] for axis in ("column", "row")]
        rows.append(
            {
                **_pixel(truth["picture"], valve),
                "bands": _numbers(found, [segment["key"]]),
                "bulge_at": clock(*(BULGE * step for step in flow)),
            }
        )
    return sorted(rows, key=lambda row: (row["row"], row["column"]))


BULGE = 1  # the bulge lies downstream (1) or upstream (-1) of the notch


def _on(numbers: list[int]) -> str:
    if not numbers:  # on a piece of band that is too short to be told of by itself
        return "a short piece of band"
    return f"band {numbers[0]}" if len(numbers) == 1 else f"bands {_listed([*map(str, numbers)])}"


def _detail_sentences(picture: Mapping[str, Any], data: Mapping[str, Any]) -> list[str]:
    found = []
    for row in data["forks"]:
        place = f"{_at(row['column'], row['row'])} in the "
        place += f"{third(picture, row['column'], row['row'])} of the picture"
        hours = _listed([str(hour) for hour in row["arms_at"]])
        found.append(
            f"A fork of {_on(row['bands'])} lies at {place}: arms leave towards {hours} o'clock."
        )
    for row in data["crossings"]:
        found.append(
            f"{_on(row['bands']).capitalize()} cross at {_at(row['column'], row['row'])} in the "
            f"{third(picture, row['column'], row['row'])} of the picture: four arms."
        )
    for row in data["knots"]:
        found.append(
            f"A small knot lies on {_on(row['bands'])} at {_at(row['column'], row['row'])}: the "
            f"band narrows there, with a bulge beside it towards {row['bulge_at']} o'clock."
        )
    for row in data["narrowings"]:
        found.append(
            f"{_on(row['bands']).capitalize()} narrows to about {row['width_mm']} mm at "
            f"{_at(row['column'], row['row'])}."
        )
    return found


def _change_sentences(data: Mapping[str, Any]) -> list[str]:
    if data["frames"] == 1:
        return []
    last = data["frames"] - 1
    found = [f"The series has {data['frames']} frames, numbered 0 to {last}."]
    for row in data["changes"]:
        until = "the last" if row["last_frame"] == last else f"frame {row['last_frame']}"
        on = f", on {_on(row['bands'])}" if row["bands"] else ""
        found.append(
            f"From frame {row['onset_frame']} to {until} the picture is {row['sign']} than in "
            f"frame 0, first at {_at(row['column'], row['row'])}, last at {_at(*row['last'])}{on}; "
            f"most in frame {row['most_frame']}, by about {row['percent']} %; in all between "
            f"columns {row['left']} and {row['right']} and rows {row['top']} and {row['bottom']}."
        )
    return found if data["changes"] else [*found, NO_CHANGE]


def _narrow_data(
    picture: Mapping[str, Any], found: tuple[Band, ...], data: Mapping[str, Any]
) -> list[dict[str, Any]]:
    special = [
        (row["column"], row["row"])
        for name in ("forks", "crossings", "knots")
        for row in data[name]
    ]
    return [
        {
            **_pixel(picture, {"column": band.column[at], "row": band.row[at]}),
            "bands": [number],
            "width_mm": round(float(band.width_mm[at]), 1),
        }
        for number, band in enumerate(found, 1)
        for at in narrowings(band, special, picture["mm_per_px"])
    ]


def _changes(truth: Mapping[str, Any], found: tuple[Band, ...]) -> list[dict[str, Any]]:
    rows = []
    for change in truth["changes"]:
        kept = ("sign", "onset_frame", "last_frame", "most_frame", "left", "right", "top", "bottom")
        over = [
            number
            for number, band in enumerate(found, 1)
            if (
                (band.column >= change["left"])
                & (band.column <= change["right"])
                & (band.row >= change["top"])
                & (band.row <= change["bottom"])
            ).any()
        ]
        rows.append(
            {
                **{name: change[name] for name in kept},
                **_pixel(truth["picture"], change),
                "last": list(_whole(truth["picture"], change["last_column"], change["last_row"])),
                "percent": round(100 * change["share"]),
                "bands": over,
            }
        )
    return rows


def describe(truth: Mapping[str, Any] | str) -> Description:
    """Return a picture or series in words, from its truth, the same words for the same things.

    Bands are numbered from left to right by their upper ends. Places are in pixels, as marks are;
    directions are by the clock, 12 up. What is not visible is not mentioned, and nothing is named
    that a picture cannot show: an artery is a band like the others, a valve a small knot.
    """
    truth = read_truth(truth)
    picture, found = truth["picture"], bands(truth)
    data: dict[str, Any] = {
        "frames": truth["frames"],
        "bands": [_band_data(picture, number, band) for number, band in enumerate(found, 1)],
        "forks": _forks(truth, found),
        "crossings": [
            {
                **_pixel(picture, row),
                "bands": _numbers(found, row["segments"]),
            }
            for row in truth["crossings"]
            if row["visible"]
        ],
        "knots": _knots(truth, found),
        "changes": _changes(truth, found),
    }
    data["narrowings"] = _narrow_data(picture, found, data)
    count = len(found)
    seen = (
        f"There are {count} dark bands to be seen."
        if count > 1
        else "There is one dark band to be seen."
    )
    columns, rows, scale = (picture[name] for name in ("width_px", "height_px", "mm_per_px"))
    sentences = [
        f"The picture has columns 0 to {columns - 1} from left to right and rows 0 to {rows - 1} "
        f"from top to bottom; one pixel shows {scale:g} mm of skin.",
        seen if count else "There is no dark band to be seen.",
    ]
    for band, row in zip(found, data["bands"], strict=True):
        sentences += _band_sentences(picture, band, row)
    sentences += [*_detail_sentences(picture, data), *_change_sentences(data)]
    return Description(tuple(sentences), data, truth["notice"])
