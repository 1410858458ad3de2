"""The scenario device in use: what uses up its window, its registration and its contrast."""

from pathlib import Path
from typing import NamedTuple

import numpy as np

from cubital import tables
from cubital.calc.focus.illumination import (
    illuminance_at_distance_lx,
    illuminance_on_tilt_lx,
    picture_contrast,
    picture_illuminance_lx,
    room_light_limit_lx,
)
from cubital.calc.focus.projection import camera_scale, registration_error_mm
from cubital.calc.focus.steadiness import drift_lag_error_mm, tremor_lag_error_mm
from cubital.calc.focus.tilt import limb_drop_mm, tilt_depth_span_mm
from cubital.calc.shared.quantities import check, remarks, single
from cubital.tables.focus import Holding, holdings

WINDOW, REGISTRATION = "window", "registration"


class ViewDevice(NamedTuple):
    """What a view rests on: the local profile's device and the course's assumptions about it."""

    working_distance_mm: float
    window_mm: float
    picture_width_mm: float
    picture_height_mm: float
    light_output_lm: float
    baseline_mm: float
    latency_ms: float
    focal_length_mm: float
    f_number: float
    circle_of_confusion_mm: float
    registration_tolerance_mm: float
    weber_needed: float


class BudgetLine(NamedTuple):
    """One part of a budget: what it is, how much [mm], of which total, and whether it is chance."""

    words: str
    amount_mm: float
    of: str
    random: bool


class ViewBudget(NamedTuple):
    """What a view uses of the window and the tolerance, and what is left of light and contrast."""

    lines: tuple[BudgetLine, ...]
    window_used_mm: float
    window_share: float
    registration_error_mm: float
    registration_share: float
    scale: float
    projected_lx: float
    weber: float
    room_light_limit_lx: float
    reasons: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether window, registration and contrast all hold."""
        return not self.reasons


def scenario_device(profile: Path | None = None) -> ViewDevice:
    """Return the device of the local profile, with what the course assumes about its optics.

    `device = local-profile.toml, completed by focus/constants.toml`

    Parameters
    ----------
    profile : Path, optional
        A course folder or profile whose keys replace the shipped ones [-]

    Returns
    -------
    ViewDevice
        Distances and sizes [mm], light output [lm], delay [ms], contrast needed [-]

    Notes
    -----
    `low <= value <= high` for each, as wherever it is used. The device is invented; lens, baseline,
    delay, tolerance and contrast are teaching assumptions. Put a real device's figures from its
    instructions for use.

    Examples
    --------
    >>> device = scenario_device()
    >>> device.working_distance_mm, device.window_mm
    (220, 18)

    References
    ----------
    course
    """
    own = tables.profile(profile)
    value = {key: row.value for key, row in tables.constants().items()}
    device = ViewDevice(
        working_distance_mm=own.working_distance_mm,
        window_mm=own.window_mm,
        picture_width_mm=own.picture_width_mm,
        picture_height_mm=own.picture_height_mm,
        light_output_lm=own.light_output_lm,
        baseline_mm=value["view-baseline"],
        latency_ms=value["view-latency"],
        focal_length_mm=value["view-focal-length"],
        f_number=value["view-f-number"],
        circle_of_confusion_mm=value["view-circle-of-confusion"],
        registration_tolerance_mm=value["view-registration-tolerance"],
        weber_needed=value["contrast-needed"] - 1,
    )
    check("reference_distance_mm", device.working_distance_mm)
    for name in set(device._fields) - {"working_distance_mm"}:
        check(name, getattr(device, name))
    return device


def _together(lines: list[BudgetLine], of: str) -> float:
    """Return a total: fixed parts add up, parts by chance add as squares."""
    fixed = sum(line.amount_mm for line in lines if line.of == of and not line.random)
    chance = [line.amount_mm for line in lines if line.of == of and line.random]
    return fixed + float(np.sqrt(np.sum(np.square(chance))))


def _distance_lines(
    held: Holding, tilt_deg: float, limb_radius_mm: float | None, place_mm: float
) -> list[BudgetLine]:
    coverage = tables.constant("view-coverage").value
    tilted = abs(place_mm) * tilt_depth_span_mm(1, tilt_deg=tilt_deg)
    lines = [
        BudgetLine("distance set by eye", abs(held.setting_error_mm), WINDOW, False),
        BudgetLine("tilt of the skin", tilted, WINDOW, False),
        BudgetLine("slow drift", coverage * held.drift_sd_mm, WINDOW, True),
        BudgetLine("tremor", held.tremor_amplitude_mm, WINDOW, True),
    ]
    if limb_radius_mm is not None:
        drop = limb_drop_mm(place_mm, limb_radius_mm=limb_radius_mm)
        lines.insert(2, BudgetLine("round limb", drop, WINDOW, False))
    return lines


def _registration_lines(
    device: ViewDevice, held: Holding, distance: list[BudgetLine]
) -> list[BudgetLine]:
    coverage = tables.constant("view-coverage").value
    lines = [
        line._replace(
            of=REGISTRATION,
            amount_mm=registration_error_mm(
                line.amount_mm,
                baseline_mm=device.baseline_mm,
                reference_distance_mm=device.working_distance_mm,
            ),
        )
        for line in distance
    ]
    drifted = coverage * drift_lag_error_mm(
        held.drift_sd_mm, drift_time_s=held.drift_time_s, latency_ms=device.latency_ms
    )
    shaken = tremor_lag_error_mm(
        held.tremor_amplitude_mm, tremor_hz=held.tremor_hz, latency_ms=device.latency_ms
    )
    return [
        *lines,
        BudgetLine("slow drift during the delay", drifted, REGISTRATION, True),
        BudgetLine("tremor during the delay", shaken, REGISTRATION, True),
    ]


def view_budget(
    device: ViewDevice,
    *,
    holding: str,
    room_lx: float,
    tilt_deg: float = 0,
    place_mm: float = 0,
    limb_radius_mm: float | None = None,
) -> ViewBudget:
    """Return what one way of using a device costs of its window, registration and contrast.

    `used = sum of fixed parts + sqrt(sum of (parts by chance)^2)`; each part of the distance costs
    `b / s` of itself in registration, and delay adds its own

    Parameters
    ----------
    device : ViewDevice
        The device, as scenario_device gives it [-]
    holding : str
        hand-held, braced or fixed-stand: a row of `assets/focus/holding.csv` [-]
    room_lx : float
        Illuminance of the skin by the room light [lx]
    tilt_deg : float, optional
        Tilt of the skin against the device's axis [degrees]
    place_mm : float, optional
        Where in the picture the vein lies, from the middle, along the tilt [mm]
    limb_radius_mm : float, optional
        Radius of a round limb whose highest line is in the middle; flat if not given [mm]

    Returns
    -------
    ViewBudget
        Every part and the totals [mm], shares of window and tolerance [-], scale to the camera [-],
        light [lx], Weber contrast [-], and the reasons why the view fails, if it does

    Notes
    -----
    Room light 0.01 to 200000 lx, tilt -85 to 85 degrees, place -1000 to 1000 mm, limb radius 3 to
    300 mm. Fixed parts are taken to add at the worst place; chance counts with two standard
    deviations. Sideways drift and tremor are taken to equal those in distance. Blur in tissue,
    light that is uneven over the picture and rolling of the hand are left out. How steady a hand is
    and what is tolerated are teaching assumptions. Simulated, not clinically validated.

    Examples
    --------
    >>> held = view_budget(scenario_device(), holding="hand-held", room_lx=500, place_mm=20)
    >>> round(held.window_share, 2), round(held.registration_share, 2), held.reasons
    (0.89, 1.77, ('the mark falls 1.8 mm beside the vein, and 1 mm is tolerated',))
    >>> view_budget(scenario_device(), holding="fixed-stand", room_lx=500, place_mm=20).holds
    True

    References
    ----------
    course, stereo-lecture
    """
    if holding not in holdings():
        raise ValueError(f"no way of holding is called {holding!r}: choose {', '.join(holdings())}")
    held = holdings()[holding]
    place, room = single("place_mm", place_mm), single("room_lx", room_lx)
    tilt = single("tilt_deg", tilt_deg)
    distance = _distance_lines(held, tilt, limb_radius_mm, place)
    registration = _registration_lines(device, held, distance)
    window_used, beside = _together(distance, WINDOW), _together(registration, REGISTRATION)
    farther = {
        "distance_error_mm": window_used,
        "reference_distance_mm": device.working_distance_mm,
    }
    lit = picture_illuminance_lx(
        device.light_output_lm,
        picture_width_mm=device.picture_width_mm,
        picture_height_mm=device.picture_height_mm,
    )
    lit = illuminance_on_tilt_lx(illuminance_at_distance_lx(lit, **farther), tilt_deg=tilt)
    weber = picture_contrast(lit, room_lx=room).weber
    limit = room_light_limit_lx(lit, weber_needed=device.weber_needed)
    tolerance = device.registration_tolerance_mm
    found = {
        f"the skin is {window_used:.0f} mm off, and the window is {device.window_mm:g} mm": (
            window_used > device.window_mm
        ),
        f"the mark falls {beside:.1f} mm beside the vein, and {tolerance:g} mm is tolerated": (
            beside > tolerance
        ),
        f"the room light of {room:g} lx is above the {limit:.0f} lx that leave enough contrast": (
            room > limit
        ),
    }
    return ViewBudget(
        lines=(*distance, *registration),
        window_used_mm=window_used,
        window_share=window_used / device.window_mm,
        registration_error_mm=beside,
        registration_share=beside / tolerance,
        scale=camera_scale(**farther),
        projected_lx=lit,
        weber=weber,
        room_light_limit_lx=limit,
        reasons=tuple(reason for reason, fails in found.items() if fails),
        remarks=remarks(room_lx=room, tilt_deg=tilt, place_mm=place),
    )
