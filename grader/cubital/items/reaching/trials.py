"""An item on short trials: does a flush run on through the vein."""

from cubital.items.kinds.choice import Option
from cubital.items.kinds.on_pictures.trials import TrialsItem
from cubital.items.reaching.after_placement import AFTERWARDS
from cubital.items.writing.trials import HOW, MINUTES, drawn, shows_or_not

FLUSH_TRIALS = TrialsItem(
    id="reach-flush-trials",
    title="Series by series: does a flush run on?",
    points=8,
    section=AFTERWARDS,
    draw_values=drawn,
    ask=lambda _v: (
        "Simulated short series. Say of each whether it shows a flush that runs on through the "
        "vein: from one place on a band pales at once, and on through the bands that it runs into, "
        "less so past each fork; then it darkens again from that place on. Other things may happen "
        f"instead, or nothing. {HOW}"
    ),
    looked_for="flush",
    catches=("nothing", "refill", "roll"),
    options=shows_or_not("a flush that runs on"),
    missed="passes by paling that runs on at once through band after band",
    invented=(
        "takes another change for a flush: a refill pales one stretch as far as a sharp end, and a "
        "vein that rolls stays dark"
    ),
    closing="A flush has just run on in the picture, as you hoped. What do you do about the site?",
    ways=(
        Option(
            "feel-and-watch",
            "Feel the site while it flushes, ask how it feels, and go on watching it.",
        ),
        Option(
            "secured",
            "Dress it and go: what was seen to run on in the vein will run on there later.",
            "takes a moment's picture for the hours that follow: a catheter can slip or wear "
            "through the vein later, and touch, line and patient tell it",
        ),
        Option(
            "picture-again",
            "Take a second picture some minutes later, and go by that alone if it is like this.",
            "lets a second picture stand for the finger: fluid that leaks deep or in small amounts "
            "does not show in either",
        ),
        Option(
            "no-worth",
            "Take the catheter out: a picture never tells anything of a flush, so it is in doubt.",
            "gives the picture no worth at all: a flush that runs on speaks for a tip in the vein, "
            "and feeling and asking come on top",
        ),
    ),
    minutes=MINUTES + 0.5,
)
