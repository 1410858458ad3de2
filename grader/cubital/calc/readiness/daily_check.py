"""Does the picture fall where it belongs: the daily check on a target, and the pre-use check."""

from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from cubital import tables
from cubital.calc.shared.quantities import checked, single, written
from cubital.tables.readiness import CheckStep, pre_use_check

PASS, FAIL = "pass", "fail"
READY, NOT_READY, NOT_FINISHED = "ready", "do not use", "not finished"
FITTED = 4  # offset in two directions, scale and rotation
CAUTION = (
    "For training. Local policy, the device's instructions for use and licensed practice decide."
)


class RegistrationFit(NamedTuple):
    """How a projected picture differs from the true one, with standard errors."""

    offset_x_mm: float
    offset_y_mm: float
    offset_se_mm: float | None
    scale: float
    scale_se: float | None
    rotation_deg: float
    rotation_se_deg: float | None
    scatter_mm: float | None
    largest_error_mm: float
    reach_mm: float
    points: int


class DailyCheck(NamedTuple):
    """Pass or fail of the daily check, with the reason and the fit behind it."""

    verdict: str
    reason: str
    fit: RegistrationFit
    tolerance_mm: float
    remarks: tuple[str, ...]
    caution: str = CAUTION


class PreUse(NamedTuple):
    """What the pre-use check says, and what to do first."""

    verdict: str
    to_do: tuple[str, ...]
    open_questions: tuple[str, ...]
    caution: str = CAUTION


@checked(values="place_mm")
def _places(name: str, values: Any) -> np.ndarray:
    places = np.asarray(values)
    if places.ndim != 2 or places.shape[1] != 2:
        raise ValueError(f"{name} must be a row of x and y in mm for each mark")
    return places


def fit_registration(projected_mm: Any, *, true_mm: Any) -> RegistrationFit:
    """Return offset, scale and rotation of a projected picture against the true one.

    `p = m + o + k R(a) (q - m)`, with m the middle of the true marks, by least squares; with s^2 =
    squares left / (2 n - 4), `se(o) = s / sqrt(n)` and `se(k) = k se(a) = s / sqrt(sum |q - m|^2)`

    Parameters
    ----------
    projected_mm : array of n rows x, y
        Where each mark is projected on the target [mm]
    true_mm : array of n rows x, y
        Where each mark is on the target [mm]

    Returns
    -------
    RegistrationFit
        Offset of the middle [mm], scale [-], rotation from x towards y [degrees], the standard
        error of each, scatter that is left [mm], largest distance of a mark from its place [mm],
        and of a true mark from the middle [mm]

    Notes
    -----
    Places -1000 to 1000 mm; at least two marks, and three for standard errors, which suppose the
    same independent reading error in both directions and small errors. Keystone (a tilted target)
    and bending of the picture are left out: they show as scatter.

    Examples
    --------
    >>> true = [[-30, -20], [30, -20], [30, 20], [-30, 20]]
    >>> projected = [[-29.8, -19.6], [31.2, -19.7], [31.1, 21.0], [-29.9, 20.9]]
    >>> fit = fit_registration(projected, true_mm=true)
    >>> round(fit.offset_x_mm, 2), round(fit.scale, 4), round(fit.rotation_deg, 2)
    (0.65, 1.0162, 0.04)

    References
    ----------
    umeyama-1991
    """
    projected, true = _places("projected_mm", projected_mm), _places("true_mm", true_mm)
    n = len(true)
    if len(projected) != n:
        raise ValueError(f"{len(projected)} projected marks do not match {n} true ones")
    middle = true.mean(axis=0)
    arms, found = true - middle, projected - projected.mean(axis=0)
    spread = float((arms**2).sum())
    if spread == 0:
        raise ValueError("true_mm has all marks at one place: scale and rotation need two")
    along = float((arms * found).sum()) / spread
    across = float((arms[:, 0] * found[:, 1] - arms[:, 1] * found[:, 0]).sum()) / spread
    scale = float(np.hypot(along, across))
    if scale == 0:
        raise ValueError("projected_mm has no likeness to true_mm: check the order of the marks")
    fitted = arms @ np.array([[along, across], [-across, along]])
    freedom = 2 * n - FITTED
    scatter = float(np.sqrt(((found - fitted) ** 2).sum() / freedom)) if freedom else None
    slope_se = None if scatter is None else scatter / np.sqrt(spread)
    offset = projected.mean(axis=0) - middle
    return RegistrationFit(
        offset_x_mm=float(offset[0]),
        offset_y_mm=float(offset[1]),
        offset_se_mm=None if scatter is None else float(scatter / np.sqrt(n)),
        scale=scale,
        scale_se=None if slope_se is None else float(slope_se),
        rotation_deg=float(np.degrees(np.arctan2(across, along))),
        rotation_se_deg=None if slope_se is None else float(np.degrees(slope_se / scale)),
        scatter_mm=scatter,
        largest_error_mm=float(np.hypot(*(projected - true).T).max()),
        reach_mm=float(np.hypot(*arms.T).max()),
        points=n,
    )


def _findings(fit: RegistrationFit, tolerance_mm: float) -> list[str]:
    """Say what is above its standard error and moves a mark by half of the tolerance or more."""
    if fit.largest_error_mm > fit.reach_mm:
        return ["a mark is farther off than the target is large: were all read in the same order?"]
    coverage, found = tables.constant("view-coverage").value, []
    offset = float(np.hypot(fit.offset_x_mm, fit.offset_y_mm))
    if offset > max(coverage * fit.offset_se_mm, tolerance_mm / 2):
        found.append(
            f"the whole picture is shifted by {offset:.1f} mm: check the distance first, then "
            "whether the target lay straight"
        )
    grown, turned = fit.scale - 1, abs(fit.rotation_deg)
    if abs(grown) > max(coverage * fit.scale_se, tolerance_mm / (2 * fit.reach_mm)):
        size = "large" if grown > 0 else "small"
        found.append(f"the picture is {abs(grown):.1%} too {size}: check the distance")
    least_deg = float(np.degrees(tolerance_mm / (2 * fit.reach_mm)))
    if turned > max(coverage * fit.rotation_se_deg, least_deg):
        found.append(f"the picture is turned by {turned:.1f} degrees: check how the target lay")
    return found


@checked(form=single)
def check_registration(
    projected_mm: Any, *, true_mm: Any, registration_tolerance_mm: float | None = None
) -> DailyCheck:
    """Return whether the daily check passes: no mark farther from its place than is tolerated.

    `pass if max |p - q| <= tolerance`

    Parameters
    ----------
    projected_mm : array of n rows x, y
        Where each mark is projected on the target, held at the working distance [mm]
    true_mm : array of n rows x, y
        Where each mark is on the target [mm]
    registration_tolerance_mm : float, optional
        Largest error that is tolerated; the course's teaching assumption if not given [mm]

    Returns
    -------
    DailyCheck
        Verdict and reason, the fit [mm, -, degrees], and remarks on what stands out and on a
        verdict that is close

    Notes
    -----
    Places -1000 to 1000 mm, tolerance 0.01 to 100 mm, four marks or more. The verdict is on the
    marks that were read; it says nothing of other distances, where registration differs. A verdict
    within two scatters of the limit is remarked: read the marks again.

    Examples
    --------
    >>> true = [[-30, -20], [30, -20], [30, 20], [-30, 20]]
    >>> projected = [[-29.8, -19.6], [31.2, -19.7], [31.1, 21.0], [-29.9, 20.9]]
    >>> checked = check_registration(projected, true_mm=true)
    >>> checked.verdict, checked.reason
    ('fail', 'The farthest mark is 1.5 mm from its place, and 1 mm is tolerated.')

    References
    ----------
    umeyama-1991, course
    """
    if registration_tolerance_mm is None:
        registration_tolerance_mm = tables.constant("view-registration-tolerance").value
    fit = fit_registration(projected_mm, true_mm=true_mm)
    least = int(tables.constant("daily-check-least-points").value)
    if fit.points < least:
        raise ValueError(f"{fit.points} marks were read: it must be at least {least}")
    verdict = PASS if fit.largest_error_mm <= registration_tolerance_mm else FAIL
    limit = written(registration_tolerance_mm)
    tail = f"within the {limit} mm tolerated" if verdict == PASS else f"and {limit} mm is tolerated"
    remarks = _findings(fit, registration_tolerance_mm)
    doubt = tables.constant("view-coverage").value * fit.scatter_mm
    if abs(fit.largest_error_mm - registration_tolerance_mm) < doubt:
        remarks.append("this is close to the limit: read the marks again")
    reason = f"The farthest mark is {fit.largest_error_mm:.1f} mm from its place, {tail}."
    return DailyCheck(verdict, reason, fit, registration_tolerance_mm, tuple(remarks))


def judge_pre_use(answers: Mapping[str, bool]) -> PreUse:
    """Return what the answers to the pre-use check mean.

    `ready if no answer is no, and none is missing`; a no that stops is `do not use`

    Parameters
    ----------
    answers : mapping of str to bool
        Yes or no by the key of the question in `assets/readiness/pre-use-check.toml` [-]

    Returns
    -------
    PreUse
        ready, do not use or not finished; what to do first; which questions are open [-]

    Notes
    -----
    `yes = true, no = false`. A no that does not stop leaves the device ready, with something to do.
    The list is for teaching: the device's instructions for use and local policy decide.

    Examples
    --------
    >>> keys = [step.key for step in pre_use_check()]
    >>> judge_pre_use(dict.fromkeys(keys, True)).verdict
    'ready'
    >>> judge_pre_use(dict.fromkeys(keys, True) | {"clean": False}).verdict
    'do not use'

    References
    ----------
    common-practice
    """
    steps: dict[str, CheckStep] = {step.key: step for step in pre_use_check()}
    for key, answer in answers.items():
        if key not in steps:
            raise ValueError(f"no question is called {key!r}: choose one of {', '.join(steps)}")
        if type(answer) is not bool:
            raise ValueError(f"the answer to {key!r} is {answer!r}: it must be yes or no")
    refused = [step for step in steps.values() if answers.get(step.key) is False]
    missing = tuple(step.ask for step in steps.values() if step.key not in answers)
    if any(step.stops for step in refused):
        verdict = NOT_READY
    else:
        verdict = NOT_FINISHED if missing else READY
    return PreUse(verdict, tuple(step.if_not for step in refused), missing)
