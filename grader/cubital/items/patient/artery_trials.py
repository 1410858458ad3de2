"""An item on pictures of dark bands of which one may be an artery: no picture tells it."""

from cubital.items.kinds.on_pictures.trials import TrialsItem
from cubital.items.kinds.plain import Offered
from cubital.items.patient.before_insertion import ASSESSMENT
from cubital.items.writing.trials import drawn

FEEL = "feel"

ARTERY_TRIALS = TrialsItem(
    id="patient-artery-trials",
    title="Four pictures: vein or artery?",
    points=4,
    section=ASSESSMENT,
    draw_values=drawn,
    ask=lambda _v: (
        "Simulated near-infrared pictures of dark bands that lie side by side. You look for a vein "
        "to puncture. Say of each picture what it tells of the bands."
    ),
    looked_for="artery",
    catches=("veins",),
    bands=("middling", "faint"),
    each=1,
    options=(
        Offered("all-veins", "All of the bands are veins, and none of them is an artery."),
        Offered("one-artery", "One of the bands is an artery, and the others are veins."),
        Offered(FEEL, "That cannot be told from the picture: feel each for a pulse."),
    ),
    always=FEEL,
    missed=(
        "reads off a picture what no picture shows: an artery near the skin is as dark as a vein "
        "there, and its pulse moves it by less than the grain"
    ),
    minutes=1.5,
)
