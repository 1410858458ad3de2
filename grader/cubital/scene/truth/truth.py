"""What a scene's picture shows, as plain data: vessels, valves, bifurcations, events, visibility.

Simulated, not clinically validated.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

import numpy as np

from cubital.scene import NOTICE
from cubital.scene.anatomy.vessels import Scene, View
from cubital.scene.light import picture
from cubital.scene.light.geometry import distance_mm, mm_per_px_at, to_picture, to_skin
from cubital.scene.light.mask import mask
from cubital.scene.light.surface import darkest
from cubital.scene.truth.changes import changes, steadied
from cubital.scene.truth.crossings import crossings
from cubital.scene.truth.parting import parting, way_from
from cubital.scene.truth.record import VERSION, read_truth, view_of, written_truth
from cubital.scene.truth.segments import STEP_MM, Stretch, confluence_keys, in_picture, stretches
from cubital.scene.truth.visibility import (
    TINY,
    Seen,
    TextureNoise,
    eye_noise,
    measure,
    needed,
    on_limb,
    valve_ratios,
)

MM_DIGITS, PX_DIGITS, SHARE_DIGITS, RATIO_DIGITS = 3, 2, 4, 2
GAP_POINTS = 4  # between a fork and its arm that the eye passes over: 4 mm
LEAST_OWN_MM = 3.0  # a band seen by itself for less is no band
__all__ = ["VERSION", "mask", "read_truth", "truth", "view_of", "written_truth"]


def _list(values: np.ndarray, digits: int) -> list[float]:
    return [round(float(value), digits) for value in values]


def _place(view: View, x_mm: float, y_mm: float) -> dict[str, float]:
    column, row = to_picture(view, x_mm, y_mm)
    return {
        "x_mm": round(float(x_mm), MM_DIGITS),
        "y_mm": round(float(y_mm), MM_DIGITS),
        "column": round(float(column), PX_DIGITS),
        "row": round(float(row), PX_DIGITS),
    }


def _merged(at: int, lines: Sequence[Stretch], looks: Sequence[Seen], least: float) -> np.ndarray:
    """Return which points of a stretch lie within the band of another that it meets.

    Two even bands side by side are one to the eye until they lie a width apart.
    """
    line, seen = lines[at], looks[at]
    ends = {end for end in (line.starts, line.stops) if end.startswith("bifurcation")}
    own_half = seen.expected_mm / 2
    within = np.zeros(len(own_half), bool)
    for number, other in enumerate(lines):
        if number == at or not ends & {other.starts, other.stops}:
            continue
        half = looks[number].expected_mm / 2
        away = np.hypot(line.x_mm[:, None] - other.x_mm, line.y_mm[:, None] - other.y_mm)
        within |= (away <= own_half[:, None] + half).any(axis=1)
    return within & (seen.darkness_ratio >= least) & (seen.ratio < least)


def _segment(at: int, lines: Sequence[Stretch], looks: Sequence[Seen]) -> dict[str, Any]:
    least = needed()
    stretch, seen = lines[at], looks[at]
    own, merged = seen.ratio >= least, _merged(at, lines, looks, least)
    shown = own | merged
    step = stretch.length_mm / max(len(own) - 1, 1)
    alone = ~merged
    is_link = bool(shown.all()) and stretch.length_mm <= 2 * float(seen.expected_mm.mean())
    visible = is_link or bool(
        own.sum() * step >= min(LEAST_OWN_MM, stretch.length_mm / 2)
        and own[alone].sum() >= alone.sum() / 2
    )
    ratio = np.median(seen.ratio[alone]) if alone.any() else np.median(seen.darkness_ratio)
    return {
        "key": f"segment-{at + 1}",
        "vessel": stretch.vessel,
        "kind": stretch.kind,
        "starts": stretch.starts,
        "stops": stretch.stops,
        "length_mm": round(stretch.length_mm, MM_DIGITS),
        "contrast_to_noise": round(float(ratio), RATIO_DIGITS),
        "visible": visible,
        "along_mm": _list(stretch.along_mm, MM_DIGITS),
        "x_mm": _list(stretch.x_mm, MM_DIGITS),
        "y_mm": _list(stretch.y_mm, MM_DIGITS),
        "column": _list(stretch.column, PX_DIGITS),
        "row": _list(stretch.row, PX_DIGITS),
        "depth_mm": _list(stretch.depth_mm, MM_DIGITS),
        "diameter_mm": _list(stretch.diameter_mm, MM_DIGITS),
        "seen_width_mm": _list(seen.width_mm, MM_DIGITS),
        "seen_contrast": _list(seen.contrast, SHARE_DIGITS),
        "ratio": _list(seen.ratio, RATIO_DIGITS),
        "seen": [bool(value) for value in shown & visible],
    }


def _parts(
    scene: Scene,
    lines: Sequence[Stretch],
    looks: Sequence[Seen],
    darkening: np.ndarray,
    fork: tuple[str, str],
) -> dict[str, float] | None:
    """Return where, from its confluence on, a band that joins is first seen apart."""
    key, joining = fork
    here = [at for at, line in enumerate(lines) if key in (line.starts, line.stops)]
    others = [at for at in here if lines[at].vessel != joining]
    if not others or len(others) == len(here):
        return None
    columns = []
    for line, seen in zip(lines, looks, strict=True):
        half = seen.expected_mm / 2
        scale = mm_per_px_at(scene.view, line.column, line.row)
        columns.append(np.stack([line.column, line.row, half / scale, seen.ratio >= needed()]))
    way = way_from(list(lines), columns, key, joining)
    met = np.concatenate([columns[at] for at in others], axis=1)
    point = parting(darkening, way, met, least=needed() * eye_noise())
    return None if point is None else _place(scene.view, *to_skin(scene.view, *point))


def _reaches(segment: Mapping[str, Any], key: str) -> bool:
    """Tell whether a band is seen all the way from a bifurcation to where it runs by itself."""
    if not segment["visible"]:
        return False
    order = slice(None, None, 1 if segment["starts"] == key else -1)
    alone = np.array(segment["ratio"][order]) >= needed()
    seen = np.array(segment["seen"][order])
    missing = ~(seen[: int(alone.argmax())] if alone.any() else seen)
    return int(missing.sum()) <= GAP_POINTS


def _bifurcations(
    scene: Scene,
    segments: Sequence[Mapping[str, Any]],
    lines: Sequence[Stretch],
    looks: Sequence[Seen],
    darkening: np.ndarray,
) -> list[dict[str, Any]]:
    found = []
    for at, key in confluence_keys(scene).items():
        confluence = scene.anatomy.confluences[at]
        place = _place(scene.view, confluence.x_mm, confluence.y_mm)
        if not in_picture(scene.view, place["column"], place["row"]):
            continue
        arms = [segment for segment in segments if key in (segment["starts"], segment["stops"])]
        shown = [segment["key"] for segment in arms if _reaches(segment, key)]
        parts = _parts(scene, lines, looks, darkening, (key, confluence.joining))
        found.append(
            {
                "key": key,
                "joining": confluence.joining,
                "joined": confluence.joined,
                **place,
                "parts": parts,
                "arms": shown,
                "visible": parts is not None and len(shown) > 2,  # three arms make a fork
            }
        )
    return found


def _valves(
    scene: Scene, segments: Sequence[Mapping[str, Any]], ratios: Mapping[int, float]
) -> list[dict[str, Any]]:
    found = []
    for at, valve in enumerate(scene.anatomy.valves):
        x, y, depth, diameter = scene.anatomy.vessel(valve.vessel).at(valve.along_mm)
        place = _place(scene.view, x, y)
        if not in_picture(scene.view, place["column"], place["row"]):
            continue
        own = next(
            (
                segment
                for segment in segments
                if segment["vessel"] == valve.vessel
                and segment["along_mm"][0] <= valve.along_mm <= segment["along_mm"][-1]
            ),
            None,
        )
        ratio = round(ratios[at], RATIO_DIGITS)
        found.append(
            {
                "key": f"valve-{at + 1}",
                "vessel": valve.vessel,
                "segment": own["key"] if own else None,
                "along_mm": round(valve.along_mm, MM_DIGITS),
                **place,
                "depth_mm": round(depth, MM_DIGITS),
                "diameter_mm": round(diameter, MM_DIGITS),
                "contrast_to_noise": ratio,
                "visible": bool(own and own["visible"] and ratio >= needed()),
            }
        )
    return found


def _vessels(scene: Scene, segments: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    found = []
    for vessel in scene.anatomy.vessels:
        own = [segment for segment in segments if segment["vessel"] == vessel.key]
        if own:
            found.append(
                {
                    "key": vessel.key,
                    "kind": vessel.kind,
                    "into": vessel.into,
                    "segments": [segment["key"] for segment in own],
                    "length_mm": round(sum(segment["length_mm"] for segment in own), MM_DIGITS),
                    "visible": any(segment["visible"] for segment in own),
                }
            )
    return found


def _crossings(
    scene: Scene, lines: Sequence[Stretch], segments: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    found = []
    for i, j, a, b, x, y in crossings(tuple(lines)):
        visible = segments[i]["seen"][a] and segments[j]["seen"][b]
        names = [segments[i]["key"], segments[j]["key"]]
        place = _place(scene.view, x, y)
        key = f"crossing-{len(found) + 1}"
        found.append({"key": key, "segments": names, **place, "visible": bool(visible)})
    return found


def _surface(scene: Scene) -> list[dict[str, Any]]:
    """Return what the skin itself shows in the picture: none of it is a vessel.

    `darker` is the share by which its darkest line is darker than even skin.
    """
    found = []
    for line in scene.surface:
        way = np.cumsum(
            np.hypot(
                np.diff(line.x_mm, prepend=line.x_mm[:1]), np.diff(line.y_mm, prepend=line.y_mm[:1])
            )
        )
        even = np.linspace(0, way[-1], max(round(float(way[-1]) / STEP_MM), 1) + 1)
        x, y = (np.interp(even, way, places) for places in (line.x_mm, line.y_mm))
        column, row = to_picture(scene.view, x, y)
        inside = in_picture(scene.view, column, row)
        if not inside.any():
            continue
        found.append(
            {
                "key": f"{line.kind}-{len(found) + 1}",
                "kind": line.kind,
                "x_mm": _list(x[inside], MM_DIGITS),
                "y_mm": _list(y[inside], MM_DIGITS),
                "column": _list(column[inside], PX_DIGITS),
                "row": _list(row[inside], PX_DIGITS),
                "darker": round(darkest(line), SHARE_DIGITS),
            }
        )
    return found


def _events(
    scene: Scene, series: Any, changed: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    """Return what the series' events carry, with their places in the picture.

    One is visible if its record says that it changes the picture and a change is to be seen.
    """
    found = []
    records = () if series is None else series.events
    for at, record in enumerate(records):
        plain = json.loads(json.dumps(record.plain(), allow_nan=False))
        place = dict.fromkeys(("x_mm", "y_mm", "column", "row"))
        inside = plain["x_mm"] is not None
        if inside:
            place = _place(scene.view, plain["x_mm"], plain["y_mm"])
            inside = bool(in_picture(scene.view, place["column"], place["row"]))
        visible = inside and bool(plain["picture_changes"]) and bool(changed)
        found.append({**plain, "key": f"event-{at + 1}", **place, "visible": visible})
    return found


def truth(scene: Scene, series: Any = None) -> dict[str, Any]:
    """Return what is true of a scene and seen in its picture, as data fit for JSON.

    Only what lies in the picture is listed, by places on the skin [mm] and in the picture [px].
    A segment is a vessel between bifurcations, ends and the picture's edges; it is visible if, for
    at least half of its way outside the forks, its contrast over the noise reaches
    `contrast_to_noise_needed` against the darker of its two sides. A bifurcation is visible if
    three of its arms are, a valve if its bulge and notch stand out of the noise likewise.
    `parts` is the place from which a joining band is seen by itself. `surface` lists what the skin
    itself shows, of which nothing is a vessel: a mark there is one on bare skin. Series add
    `events`, and `changes`: what can be seen to change between its frames.
    """
    light, bare = picture.light(scene), picture.background(scene)
    lines = stretches(scene)
    darkening = np.clip(1 - light / np.maximum(bare, TINY), 0, 1)
    noise = TextureNoise(scene, bare)
    looks = [measure(scene, line, darkening, noise) for line in lines]
    segments = [_segment(at, lines, looks) for at in range(len(lines))]
    changed = []
    if series is not None:
        changed = changes(steadied(scene, series.frames), scene.view, on_limb(scene))
    view = {**asdict(scene.view), "distance_mm": distance_mm(scene.view)}
    return {
        "version": VERSION,
        "notice": NOTICE,
        "site": scene.anatomy.site,
        "age_group": scene.anatomy.age_group,
        "anatomy_seed": scene.anatomy.seed,
        "seed": scene.seed,
        "picture": {**view, "centre_mm": list(view["centre_mm"])},
        "contrast_to_noise_needed": needed(),
        "frames": 1 if series is None else len(series.frames),
        "vessels": _vessels(scene, segments),
        "segments": segments,
        "valves": _valves(scene, segments, valve_ratios(scene, light, noise)),
        "bifurcations": _bifurcations(scene, segments, lines, looks, darkening),
        "crossings": _crossings(scene, lines, segments),
        "surface": _surface(scene),
        "events": _events(scene, series, changed),
        "changes": changed,
    }
