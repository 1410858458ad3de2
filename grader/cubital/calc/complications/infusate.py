"""What runs through a catheter: how far blood thins it, and whether a vein is said to take it."""

from typing import NamedTuple

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import checked, single, written
from cubital.calc.shared.units import MINUTES_PER_HOUR, Number, plain
from cubital.tables.complications import InfusateLimit, caution, infusate_limits

WITHIN_ALL = "within every limit listed"
BEYOND_ALL = "beyond every limit listed"
DISAGREE = "the limits disagree"
ASK = "not decided here: ask for the local policy"
ALLOWED = "allowed by the local limits given"
NOT_ALLOWED = "not allowed by the local limits given"
MMOL_PER_MOL = 1000  # exact: milli
REMARK = (
    "Osmolarity and pH alone clear no drug: one that harms tissue is not made safe by them. "
    "Dilution and a slower rate help, and how long it is to run counts."
)


class InfusateScreen(NamedTuple):
    """How an infusate stands to the limits in circulation, and what local policy says."""

    verdict: str
    flagged_by: tuple[str, ...]
    passed_by: tuple[str, ...]
    reasons: tuple[str, ...]
    decision: str
    remark: str
    caution: str


@checked
def osmolarity_from_solute_mosm_per_l(
    solute_g_per_l: Number, *, solute_g_per_mol: Number, particles: Number
) -> Number:
    """Return the osmolarity of a solution by the sum that labels print.

    `osmolarity = 1000 * concentration / molar mass * particles`

    Parameters
    ----------
    solute_g_per_l : float or array
        Concentration of the solute [g/L]
    solute_g_per_mol : float or array
        Molar mass, with its water of crystallisation if it is weighed with it [g/mol]
    particles : float or array
        Particles that a molecule falls into [-]

    Returns
    -------
    float or ndarray
        Calculated osmolarity [mOsm/L]

    Notes
    -----
    Concentration 0 to 3000 g/L, molar mass 1 to 1000000 g/mol, particles 1 to 20. Osmolarities of
    solutes in one litre add up. An ideal solution: measured values are a few per cent lower for
    salts, and strong solutions deviate more.

    Examples
    --------
    >>> round(osmolarity_from_solute_mosm_per_l(9, solute_g_per_mol=58.44, particles=2))
    308

    References
    ----------
    osmolarity-sums
    """
    amount = solute_g_per_l / solute_g_per_mol
    return plain(MMOL_PER_MOL * amount * particles)


@checked
def infusate_share(rate_ml_per_h: Number, *, vein_flow_ml_per_min: Number) -> Number:
    """Return the share of infusate in what flows on beyond the tip.

    `share = q / (q + Q)`

    Parameters
    ----------
    rate_ml_per_h : float or array
        Rate of the infusion q [mL/h]
    vein_flow_ml_per_min : float or array
        Flow of blood past the tip Q, beside the catheter [mL/min]

    Returns
    -------
    float or ndarray
        Share of the mixture that is infusate [-]

    Notes
    -----
    Rate 0.01 to 20000 mL/h, flow 0.01 to 5000 mL/min. Well mixed, with steady flows. Close to the
    tip, and along a wall it lies on, the infusate is unmixed; the catheter itself slows the blood.

    Examples
    --------
    >>> round(infusate_share(125, vein_flow_ml_per_min=20), 3)
    0.094

    References
    ----------
    course
    """
    infusion = rate_ml_per_h / MINUTES_PER_HOUR
    return plain(infusion / (infusion + vein_flow_ml_per_min))


@checked(
    "rate_ml_per_h", "vein_flow_ml_per_min", "blood_osmolarity_mosm_per_l", "osmolarity_mosm_per_l"
)
def diluted_osmolarity_mosm_per_l(
    osmolarity_mosm_per_l: Number,
    *,
    rate_ml_per_h: Number,
    vein_flow_ml_per_min: Number,
    blood_osmolarity_mosm_per_l: Number | None = None,
) -> Number:
    """Return the osmolarity beyond the tip, once infusate and blood have mixed.

    `c = (q * c_infusate + Q * c_blood) / (q + Q)`

    Parameters
    ----------
    osmolarity_mosm_per_l : float or array
        Osmolarity of the infusate [mOsm/L]
    rate_ml_per_h : float or array
        Rate of the infusion q [mL/h]
    vein_flow_ml_per_min : float or array
        Flow of blood past the tip Q, beside the catheter [mL/min]
    blood_osmolarity_mosm_per_l : float or array, optional
        Osmolarity of blood; 285 if not given [mOsm/L]

    Returns
    -------
    float or ndarray
        Osmolarity of the mixture [mOsm/L]

    Notes
    -----
    Osmolarity 0 to 10000 mOsm/L, rate 0.01 to 20000 mL/h, flow 0.01 to 5000 mL/min, blood 200 to
    450 mOsm/L. Well mixed; blood cells give and take water, which is left out. There is no such sum
    for pH, which blood buffers.

    Examples
    --------
    >>> round(diluted_osmolarity_mosm_per_l(1110, rate_ml_per_h=100, vein_flow_ml_per_min=20))
    348

    References
    ----------
    course, lobo-2013
    """
    if blood_osmolarity_mosm_per_l is None:
        blood_osmolarity_mosm_per_l = tables.constant("blood-osmolarity").value
    share = infusate_share(rate_ml_per_h, vein_flow_ml_per_min=vein_flow_ml_per_min)
    return plain(share * osmolarity_mosm_per_l + (1 - share) * blood_osmolarity_mosm_per_l)


def _reasons(limit: InfusateLimit, osmolarity: float, ph: float) -> list[str]:
    """Say what a limit flags; nothing when it flags nothing."""
    top = limit.osmolarity_mosm_per_l
    over = osmolarity > top or (osmolarity == top and limit.at_limit == "flagged")
    found = [f"osmolarity {written(osmolarity)} against {written(top)} mOsm/L"] if over else []
    low, high = limit.ph_low, limit.ph_high
    if low is not None and high is not None and not low <= ph <= high:
        found.append(f"pH {written(ph)} against {written(low)} to {written(high)}")
    return [f"{limit.words}: {text}" for text in found]


@checked(form=single)
def screen_infusate(
    osmolarity_mosm_per_l: float,
    *,
    ph: float,
    policy_osmolarity_mosm_per_l: float | None = None,
    policy_ph_low: float | None = None,
    policy_ph_high: float | None = None,
) -> InfusateScreen:
    """Return how an infusate stands to the limits for a peripheral vein that circulate.

    `flagged if osmolarity > limit, or pH outside low..high`, for each row of
    `assets/complications/infusate-limits.csv`

    Parameters
    ----------
    osmolarity_mosm_per_l : float
        Osmolarity of the infusate as given [mOsm/L]
    ph : float
        pH of the infusate as given [-]
    policy_osmolarity_mosm_per_l : float, optional
        Largest osmolarity that local policy allows by a peripheral vein [mOsm/L]
    policy_ph_low : float, optional
        Lowest pH that local policy allows [-]
    policy_ph_high : float, optional
        Highest pH that local policy allows [-]

    Returns
    -------
    InfusateScreen
        Verdict, who flags it and why, and what the local limits given say [-]

    Notes
    -----
    Osmolarity 0 to 10000 mOsm/L, pH 0 to 14; local limits 300 to 3000 mOsm/L, pH 0 to 7.4 and 7.4
    to 14. The limits in circulation disagree (500, 600, 900 mOsm/L; with a rule on pH and without),
    and none rests on a trial. Local policy decides. Vesicants are another question.

    Examples
    --------
    >>> screen_infusate(560, ph=4).verdict
    'the limits disagree'
    >>> screen_infusate(560, ph=4, policy_osmolarity_mosm_per_l=600, policy_ph_low=4).decision
    'allowed by the local limits given'

    References
    ----------
    rnao-2008, ins-2011, admixtures-2021, ins-2021
    """
    reasons = {limit.key: _reasons(limit, osmolarity_mosm_per_l, ph) for limit in infusate_limits()}
    flagged = tuple(key for key, found in reasons.items() if found)
    passed = tuple(key for key, found in reasons.items() if not found)
    verdict = DISAGREE if flagged and passed else BEYOND_ALL if flagged else WITHIN_ALL

    names = ("policy_osmolarity_mosm_per_l", "policy_ph_low", "policy_ph_high")
    given = (policy_osmolarity_mosm_per_l, policy_ph_low, policy_ph_high)
    top, low, high = (
        None if value is None else single(name, value)
        for name, value in zip(names, given, strict=True)
    )
    decision = ASK
    if any(value is not None for value in (top, low, high)):
        inside = osmolarity_mosm_per_l <= (np.inf if top is None else top)
        inside &= (-np.inf if low is None else low) <= ph
        inside &= ph <= (np.inf if high is None else high)
        decision = ALLOWED if inside else NOT_ALLOWED
    said = tuple(text for found in reasons.values() for text in found)
    return InfusateScreen(verdict, flagged, passed, said, decision, REMARK, caution())
