"""Items on a vein that is stroked empty: how far it stays pale, and how it fills again."""

from collections.abc import Sequence

from cubital import calc, tables
from cubital.items.kinds.base import Slip, Values
from cubital.items.kinds.choice import ChoiceItem, Option
from cubital.items.kinds.number import NumberItem
from cubital.items.writing.draw import Draw
from cubital.items.writing.offering import with_wrong

VALVES = "Valves and bifurcations"

_LEAST_APART_MM = 12  # between two valves, so that each place is a number of its own
_FULL = 100  # per cent in one

# ------------------------------------------------------------------------- what stays pale


def _draw_pale(draw: Draw) -> dict:
    finger = draw.step(30, 60, 1)
    first = finger + draw.step(15, 25, 1)
    last = first + draw.step(_LEAST_APART_MM, 30, 1)
    end = last + draw.step(8, 20, 1)
    return {
        "finger_mm": finger,
        "first_mm": first,
        "last_mm": last,
        "stroked_to_mm": end,
        "beyond_mm": end + draw.step(_LEAST_APART_MM, 25, 1),
    }


def _pale(v: Values, *valves: str) -> float:
    """The part that stays empty, with only the named valves in the vein."""
    part = calc.emptied_segment(
        v["finger_mm"], stroked_to_mm=v["stroked_to_mm"], valve_mm=[v[name] for name in valves]
    )
    return part.to_mm - part.from_mm


def _pale_answer(v: Values) -> float:
    return _pale(v, "first_mm", "last_mm", "beyond_mm")


PALE = NumberItem(
    id="read-pale",
    version=3,
    title="How far an emptied vein stays pale",
    points=2,
    section=VALVES,
    draw_values=_draw_pale,
    ask=lambda v: (
        "Places here are counted along one vein, from the crease of the wrist towards the heart. A "
        f"finger holds the vein shut at {v['finger_mm']:.0f} mm, and another strokes it empty "
        f"from there up to {v['stroked_to_mm']:.0f} mm and is lifted. Valves that close stand at "
        f"{v['first_mm']:.0f}, {v['last_mm']:.0f} and {v['beyond_mm']:.0f} mm, and no vein joins "
        "in between. While the lower finger holds, what length of the vein stays pale? Give "
        "whole millimetres."
    ),
    unit="mm",
    quantity="answered_stretch_mm",
    example="12 mm",
    answer=_pale_answer,
    route=lambda v: (
        f"the last valve within the stroke is at {v['last_mm']:.0f} mm; "
        f"{v['last_mm']:.0f} − {v['finger_mm']:.0f} = {_pale_answer(v):.0f} mm"
    ),
    absolute_tolerance=0.6,
    slips=(
        Slip(
            "whole-stroke",
            "the whole stroke is taken to stay pale: end at the last valve in it, above which "
            "blood comes back",
            lambda v: v["stroked_to_mm"] - v["finger_mm"],
        ),
        Slip(
            "first-valve-for-last",
            "the first valve is taken: look for the last one within the stroke",
            lambda v: _pale(v, "first_mm"),
        ),
        Slip(
            "valve-beyond-the-stroke",
            "the valve beyond the stroke is counted: stay within what was emptied",
            lambda v: v["beyond_mm"] - v["finger_mm"],
        ),
        Slip(
            "place-for-length",
            "the place of the valve is given for the length: count from the finger, where the "
            "pale part begins",
            lambda v: v["finger_mm"] + _pale_answer(v),
        ),
    ),
)


# ---------------------------------------------------------------------- speed from two frames

_INTERVALS_S = (0.1, 0.2, 0.25)


def _draw_speed(draw: Draw) -> dict:
    interval, distance = draw.choose(_INTERVALS_S), draw.step(28, 60, 1)
    wanted = draw.step(8, 26, 1)
    first = draw.step(9, 16, 1)
    return {
        "front_distance_mm": distance,
        "interval_s": interval,
        "first_frame": first,
        "last_frame": first + max(5, round(distance / wanted / interval)),
    }


def _frames(v: Values) -> float:
    return v["last_frame"] - v["first_frame"]


def _speed(v: Values, *, frames: float, interval: float | None = None) -> float:
    time = frames * (v["interval_s"] if interval is None else interval)
    return calc.velocity_between_valves_mm_per_s(v["front_distance_mm"], front_time_s=time)


FRONT_SPEED = NumberItem(
    id="read-front-speed",
    version=2,
    title="Optional: how fast the dark front runs",
    optional=True,
    points=2,
    section=VALVES,
    draw_values=_draw_speed,
    ask=lambda v: (
        "An emptied vein fills again, and you want to compare the two arms. On this one the dark "
        f"front passes one mark on the skin in frame {v['first_frame']:.0f} and another, "
        f"{v['front_distance_mm']:.0f} mm further up the vein, in frame {v['last_frame']:.0f}. "
        f"From one frame to the next it is {v['interval_s']:g} s. How fast does the front run? "
        "Give one decimal."
    ),
    unit="mm/s",
    quantity="answered_front_speed_mm_per_s",
    example="31.5 mm/s",
    answer=lambda v: _speed(v, frames=_frames(v)),
    route=lambda v: (
        f"{_frames(v):.0f} × {v['interval_s']:g} s = {_frames(v) * v['interval_s']:.2f} s; "
        f"{v['front_distance_mm']:.0f} mm / {_frames(v) * v['interval_s']:.2f} s = "
        f"{_speed(v, frames=_frames(v)):.1f} mm/s"
    ),
    relative_tolerance=0.01,
    absolute_tolerance=0.06,
    slips=(
        Slip(
            "both-ends-counted",
            "both end frames are counted: count the steps between them, two from frame 3 to "
            "frame 5",
            lambda v: _speed(v, frames=_frames(v) + 1),
        ),
        Slip(
            "frames-for-seconds",
            "the number of frames is taken for seconds: divide it by the frames a second",
            lambda v: _speed(v, frames=_frames(v), interval=1),
        ),
        Slip(
            "from-the-first-frame",
            "the time is counted from frame 0: start when the front passes the first mark",
            lambda v: _speed(v, frames=v["last_frame"]),
        ),
    ),
)


# ------------------------------------------------------------------------ time to fill again

_ANY_VEIN_MM = 3.0  # its width falls out: the same blood has to fill it and runs through it


def _draw_fill(draw: Draw) -> dict:
    return {
        "segment_length_mm": draw.step(30, 75, 1),
        "velocity_mm_per_s": draw.step(6, 28, 0.5),
    }


def _fill(v: Values, left: float) -> float:
    flow = calc.vein_flow_from_velocity_ml_per_min(
        v["velocity_mm_per_s"], vein_diameter_mm=_ANY_VEIN_MM
    )
    return calc.refill_time_s(
        v["segment_length_mm"],
        vein_diameter_mm=_ANY_VEIN_MM,
        vein_flow_ml_per_min=flow,
        left_share=left,
    )


def _left() -> float:
    return tables.constant("emptied-vein-share").value


REFILL_TIME = NumberItem(
    id="read-refill-time",
    version=2,
    title="How long the vein takes to fill",
    points=2,
    section=VALVES,
    draw_values=_draw_fill,
    ask=lambda v: (
        f"You have stroked {v['segment_length_mm']:.0f} mm of a vein empty and lift the lower "
        f"finger. Blood runs in at {v['velocity_mm_per_s']:.1f} mm/s, and the vein is as wide "
        f"all along. Reckon with {_left() * _FULL:.0f} % of the blood still in the stretch after "
        "stroking. For how many seconds must you watch until the whole stretch is dark again? "
        "Give two decimals. (It is no pass mark: no agreed time is known.)"
    ),
    unit="s",
    quantity="answered_refill_s",
    example="14.25 s",
    answer=lambda v: _fill(v, _left()),
    route=lambda v: (
        f"{_FULL - _left() * _FULL:.0f} % is missing: {1 - _left():.1f} × "
        f"{v['segment_length_mm']:.0f} mm / {v['velocity_mm_per_s']:.1f} mm/s = "
        f"{_fill(v, _left()):.2f} s"
    ),
    relative_tolerance=0.02,
    slips=(
        Slip(
            "left-in-forgotten",
            "the stretch is taken to be quite empty: count only what stroking pressed out",
            lambda v: _fill(v, 0),
        ),
        Slip(
            "left-for-lost",
            "the share that is left is taken for the missing one: use what has to come again",
            lambda v: _fill(v, 1 - _left()),
        ),
    ),
)


# ------------------------------------------------------------------- a band without a knot


def _draw_even(draw: Draw) -> dict:
    wrong = ("none-there", "dark-enough", "no-fork", "more-gain", "push-through")
    return {
        "line_mm": draw.step(45, 90, 5),
        "place": draw.choose(("left forearm", "right forearm")),
        "length_mm": draw.choose((25, 32)),
        "order": with_wrong(draw, "not-seen", wrong),
    }


def _even_options(v: Values) -> Sequence[Option]:
    length = f"{v['length_mm']:.0f} mm"
    texts = {
        "not-seen": (
            "There may be one all the same: look for a bead by touch, and let the catheter be "
            "if it is held up.",
            "",
        ),
        "none-there": (
            f"There may be one where a band is pale. Over these {v['line_mm']:.0f} mm it is clear, "
            "and a valve would show as a knot.",
            "takes a knot that is not seen for a valve that is not there: most are not seen",
        ),
        "dark-enough": (
            "There may be a small one that does not matter: in a dark band, a valve that can stop "
            "a catheter shows as well.",
            "expects a clear band to show its valves: a vein can still be plain to see where its "
            "valve is lost",
        ),
        "no-fork": (
            "There may be one just below a fork: look for it there by touch. Along the rest "
            "there is none.",
            "looks for valves at forks only: many stand just below one, and the rest anywhere",
        ),
        "more-gain": (
            "There may be one all the same: look for a knot with the gain turned up, and let "
            "the matter be if none is there.",
            "expects gain to bring a valve out: it strengthens the noise as much",
        ),
        "push-through": (
            "There may be one all the same: look for it with the catheter, and push if it is "
            f"held up: the {length} go through.",
            "forces a catheter through a valve: that can tear it, and the vein's wall with it",
        ),
    }
    return [Option(key, *texts[key]) for key in v["order"]]


EVEN_BAND = ChoiceItem(
    id="read-even-band",
    version=2,
    title="A band without a knot",
    points=2,
    section=VALVES,
    draw_values=_draw_even,
    ask=lambda v: (
        f"On the {v['place']} a band looks even and clear for {v['line_mm']:.0f} mm. No knot is "
        f"to be seen. You plan a catheter of {v['length_mm']:.0f} mm. What about valves in this "
        "stretch?"
    ),
    options=_even_options,
)
