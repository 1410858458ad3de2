"""Items on short trials of a hand or an arm: is a fork there, does a vein refill, does it roll."""

from cubital.items.kinds.on_pictures.trials import TrialsItem
from cubital.items.reading.spotting import FORKS_HEADING
from cubital.items.writing.trials import HOW, MINUTES, drawn, shows_or_not

FORK_TRIALS = TrialsItem(
    id="read-fork-trials",
    title="Picture by picture: is there a fork?",
    points=6,
    section=FORKS_HEADING,
    draw_values=drawn,
    ask=lambda _v: (
        "Simulated near-infrared pictures; the heart is above. Say of each whether it shows a "
        "bifurcation: a place where three dark arms meet and you can follow each of them away from "
        "it. A bend, a hair, a crease and two bands side by side are none. Some pictures show one "
        "and some do not; a wrong yes costs as many points as a wrong no."
    ),
    looked_for="fork",
    catches=("no-fork",),
    options=shows_or_not("a fork"),
    missed="passes by places where a third arm meets a band: follow each band along both sides",
    invented="takes a bend or two bands that come near each other for a fork: three arms must meet",
    minutes=MINUTES,
)

REFILL_TRIALS = TrialsItem(
    id="read-refill-trials",
    title="Series by series: does a vein refill?",
    points=6,
    section=FORKS_HEADING,
    draw_values=drawn,
    ask=lambda _v: (
        "Simulated short series. Say of each whether it shows a vein that was stroked empty and "
        "fills again: a stretch of one band pales as far as one sharp end, stays pale, and then "
        f"darkens from its lower end on. Other things may happen instead, or nothing. {HOW}"
    ),
    looked_for="refill",
    catches=("flush", "nothing", "roll"),
    options=shows_or_not("a refill"),
    missed="passes by a stretch that pales up to one sharp end and then darkens from its other end",
    invented=(
        "takes another change for a refill: a flush pales band after band from one place on, and a "
        "vein that rolls stays dark"
    ),
    minutes=MINUTES,
)

ROLL_TRIALS = TrialsItem(
    id="read-roll-trials",
    title="Series by series: does a vein roll?",
    points=6,
    section=FORKS_HEADING,
    draw_values=drawn,
    ask=lambda _v: (
        "Simulated short series. Say of each whether it shows a vein that rolls aside under a push "
        "and comes back: one stretch of a band bows to the side, as dark as before, while the "
        f"other bands stay. Other things may happen instead, or nothing. {HOW}"
    ),
    looked_for="roll",
    catches=("nothing", "flush", "refill"),
    options=shows_or_not("a roll"),
    missed="passes by a band that bows: compare its place with that of the bands beside it",
    invented="takes the stir of the whole picture, or a band that pales, for a vein that rolls",
    minutes=MINUTES,
)
