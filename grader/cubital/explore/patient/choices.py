"""The choices made for one patient: what may be chosen, and one place where they are kept."""

from __future__ import annotations

import traitlets

from cubital.calc.sizing.size_choice import MEASURED_BY
from cubital.explore.kit.explorer import Choice, Count, Quantity
from cubital.items.patient.case_assessment import ARMS, ASKED, CLEANED, FELT
from cubital.items.patient.case_follow_up import DRUGS, RESPONSES, SECURED
from cubital.items.patient.case_insertion import AFTER_BLOOD, ATTEMPTS_SHOWN, catheter_words
from cubital.tables.patient import patient


class Listed(Choice):
    """A choice out of a fixed list of words."""

    def __init__(self, default: str, *, label: str, among: dict[str, str]) -> None:
        super().__init__(default, label=label)
        self.among = among

    def options(self) -> dict[str, str]:
        return dict(self.among)


class VeinChoice(Choice):
    """One of the dark bands in the picture."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Vein")

    def options(self) -> dict[str, str]:
        return {key: row.words for key, row in patient().veins.items()}


class CatheterChoice(Choice):
    """One of the catheters on the trolley."""

    def __init__(self, default: str) -> None:
        super().__init__(default, label="Catheter")

    def options(self) -> dict[str, str]:
        return catheter_words()


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
