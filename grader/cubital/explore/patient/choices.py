"""The choices made for one patient: what may be chosen, and one place where they are kept."""

from __future__ import annotations

import traitlets

from cubital import calc
from cubital.calc.sizing.size_choice import MEASURED_BY
from cubital.explore.kit.explorer import Choice, Count, Quantity
from cubital.tables.patient import patient

ASKED = {
    "all": "identity, consent, allergies, blood thinners",
    "some": "identity and consent",
    "none": "nothing: the name is on the door",
}
ARMS = {"right": "the right arm", "left": "the left arm"}
FELT = {"no": "no, the picture shows it well", "yes": "yes, with a finger, for a pulse"}
CLEANED = {
    "alcohol": "clean hands, gloves; alcohol alone, left to dry",
    "chlorhexidine": "clean hands, gloves; chlorhexidine, left to dry",
    "wet": "clean hands, gloves; skin wiped, still wet",
    "gloves": "gloves on, hands not cleaned",
}
AFTER_BLOOD = {
    "lower": "lower, on a little, slide; needle to the sharps box",
    "slide": "slide the catheter off at once",
    "straight": "push straight on to the hub",
    "bed": "lower, on a little, slide; needle left on the bed",
}
SECURED = {
    "held": "hub held, clear dressing, all written down",
    "round": "tape round the arm, nothing written down",
}
DRUGS = ("sodium chloride 0.9 %", "many antibiotics", "noradrenaline", "vinca alkaloids")
RESPONSES = {
    "leave": "stop, line off, leave the catheter in, call",
    "remove": "stop, take the catheter out",
    "slow": "run it slower and watch",
}
CATHETERS = ((24, 19), (22, 25), (20, 32), (20, 48), (18, 32))
"""Gauge and length of the catheters on the trolley."""
ATTEMPTS_SHOWN = 4


class Listed(Choice):
    """A choice out of a fixed list of words."""

    def __init__(self, default: str, *, label: str, among: dict[str, str]) -> None:
        super().__init__(default, label=label)
        self.among = among

    def options(self) -> dict[object, str]:
        return dict(self.among)


class VeinChoice(Choice):
    """One of the dark bands in the picture."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Vein")

    def options(self) -> dict[object, str]:
        return {key: row.words for key, row in patient().veins.items()}


class CatheterChoice(Choice):
    """One of the catheters on the trolley."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Catheter")

    def options(self) -> dict[object, str]:
        return {f"{g}-{long}": f"{g} gauge, {long} mm long" for g, long in CATHETERS}


def catheter(key: str) -> tuple[int, float]:
    """Gauge and length [mm] of a catheter on the trolley."""
    gauge, length = key.split("-")
    return calc.gauge(int(gauge)).gauge, float(length)


def asked(default: str = "some") -> Listed:
    """What was asked before anything else."""
    return Listed(default, label="Asked first", among=ASKED)


def arm(default: str = "right") -> Listed:
    """Which arm."""
    return Listed(default, label="Arm", among=ARMS)


def felt(default: str = "no") -> Listed:
    """Whether the chosen vein was felt."""
    return Listed(default, label="Felt the vein", among=FELT)


def cleaned(default: str = "chlorhexidine") -> Listed:
    """How hands and skin were cleaned."""
    return Listed(default, label="Hands and skin", among=CLEANED)


def measured_by(default: str = "picture") -> Listed:
    """How the vein was measured."""
    return Listed(default, label="Vein measured by", among=MEASURED_BY)


def angle(default: float = 25) -> Quantity:
    """The angle between needle and skin."""
    return Quantity(
        default,
        of="insertion_angle_deg",
        step=1,
        label="Angle between needle and skin",
        unit_words="degrees",
        part=(10, 45),
    )


def attempt(default: int = 1) -> Count:
    """Which attempt of this person it is."""
    return Count(
        default,
        low=1,
        high=ATTEMPTS_SHOWN,
        label="Attempt",
        unit="by one person",
        unit_words="by one person",
    )


def after_blood(default: str = "slide") -> Listed:
    """What is done when blood shows."""
    return Listed(default, label="When blood shows", among=AFTER_BLOOD)


def secured(default: str = "round") -> Listed:
    """How it is secured and written down."""
    return Listed(default, label="Secured and written down", among=SECURED)


def drug(default: str = "sodium chloride 0.9 %") -> Listed:
    """What runs in."""
    return Listed(default, label="What runs in", among={name: name for name in DRUGS})


def rate(default: float = 60) -> Quantity:
    """The rate of the drip."""
    return Quantity(
        default,
        of="rate_ml_per_h",
        step=5,
        label="Rate",
        unit_words="millilitres an hour",
        part=(20, 120),
    )


def look_every(default: float = 60) -> Quantity:
    """The time between two looks at the site."""
    return Quantity(
        default,
        of="look_every_min",
        step=5,
        label="Site looked at and felt every",
        unit_words="minutes",
    )


def response(default: str = "slow") -> Listed:
    """What is done when swelling is found."""
    return Listed(default, label="When it is found swollen", among=RESPONSES)


class OnePatient(traitlets.HasTraits):
    """All choices made for one patient, kept in one place for the phases to share."""

    asked, arm, felt = asked(), arm(), felt()
    cleaned, measured_by, vein = cleaned(), measured_by(), VeinChoice("C")
    catheter, insertion_angle_deg = CatheterChoice("20-32"), angle()
    attempt, after_blood = attempt(), after_blood()
    secured, drug, rate_ml_per_h = secured(), drug(), rate()
    look_every_min, response = look_every(), response()

    def state(self) -> dict[str, object]:
        """All choices by name."""
        return {name: getattr(self, name) for name in self.trait_names()}

    def share(self, phase: traitlets.HasTraits, names: tuple[str, ...]) -> None:
        """Keep a phase's choices and these the same from now on; these come first."""
        for name in names:
            traitlets.link((self, name), (phase, name))


one_patient = OnePatient()
"""The choices of the learner who has the lesson open: one kernel, one lesson, one patient."""
