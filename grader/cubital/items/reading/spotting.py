"""Items on simulated pictures: forks, and what happens in a series."""

from cubital.items.kinds.base import Values
from cubital.items.kinds.choice import Option
from cubital.items.kinds.on_pictures.placing import PlaceItem
from cubital.items.kinds.on_pictures.series import SeriesItem
from cubital.items.writing.draw import Draw

FORKS_HEADING = "Valves and bifurcations"
MOVEMENT = "Movement"

# About the width of a band, as the questions say. A fork is as large as the bands that meet there,
# so that its place is not sharp.
_FORK_WITHIN_MM = 4.0


def _draw_picture(draw: Draw) -> dict:
    return {"picture": draw.choose(draw.pictures)}


FORKS = PlaceItem(
    id="read-forks",
    version=2,
    title="Mark the forks",
    points=2,
    section=FORKS_HEADING,
    draw_values=_draw_picture,
    ask=lambda _v: (
        "A simulated near-infrared picture; the heart is above. Mark every bifurcation: a place "
        "where three dark arms meet and you can follow each of them away from it. Set the mark "
        "where they meet, to within a band's width or so. An arm that pales "
        "counts as long as you can still follow it. Where it is lost for more than about a band's "
        "width before it meets the others, or where four arms cross, the place counts neither for "
        "you nor against you. Hairs, creases, bends and bands that only come near each other are "
        "no forks."
    ),
    pool={"bifurcation": 6},
    what="bifurcation",
    one="fork",
    many="forks",
    within_mm=_FORK_WITHIN_MM,
    missed=(
        "follows one band and passes by the place where another joins it: each place where three "
        "arms meet counts"
    ),
    invented=(
        "takes a bend, a hair, a crease, or two bands that come near each other for a fork: three "
        "arms must meet"
    ),
    minutes=3.0,
)


def _series_options(_v: Values) -> list[Option]:
    """What may happen, in an order that does not change: which is right, the series decides."""
    return [
        Option(
            "refill",
            "A vein is stroked empty and fills again: frame by frame a stretch of one band pales "
            "towards the heart, stays pale as far as one sharp end, and darkens again from its "
            "lower end.",
        ),
        Option(
            "flush",
            "A flush goes in: from one place on, a band pales at once, and on through the bands "
            "that it runs into, less so past each fork; then it darkens again from the same place "
            "on.",
        ),
        Option(
            "roll",
            "A vein rolls: a stretch of a band bows to the side, as dark as before, and comes "
            "back.",
        ),
        Option(
            "no-change",
            "No change shows in any band. That rules nothing out: something too faint to be seen "
            "may have happened.",
        ),
    ]


SERIES = SeriesItem(
    id="read-series",
    title="What happens in the series",
    points=4,
    section=FORKS_HEADING,
    draw_values=_draw_picture,
    ask=lambda _v: (
        "A simulated series of frames; the heart is above, fingers and catheter are not drawn. "
        "Go through the frames, more than once. What happens? If something does, give the first "
        "frame in which it shows, and mark where it begins: the place from which a band pales, or "
        "where it bows most. The whole picture stirs and flickers a little all the time, as "
        "it does when a device is held by hand; that alone is no change."
    ),
    pool={"series-refill": 2, "series-flush": 2, "series-roll": 2, "series-nothing": 2},
    options=_series_options,
    happened={"refill": "refill", "flush": "flush", "roll": "roll"},
    misconceptions={
        "refill": (
            "does not follow the pale stretch to its ends: it stays pale up to one sharp end, a "
            "valve, and the dark front then runs up from its lower end"
        ),
        "flush": (
            "does not see how far the paling goes: a flush runs on at once, past forks, as far as "
            "blood of other veins darkens it"
        ),
        "roll": (
            "goes by how dark the bands are: here one moves aside and comes back, as dark as "
            "before, while the others stay"
        ),
        "no-change": (
            "sees a change in what is only stir and flicker, or is sure of one that does not show"
        ),
    },
    minutes=4.0,
)
