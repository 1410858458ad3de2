"""What the lesson on focal geometry says with a department's own device.

Its figures keep to the course's device: their controls are made for it.
"""

from cubital import calc, tables
from cubital.explore.kit.department import Said, whose

_VEIN_MM = 3.0  # as in the lesson
_KEPT = "The figure keeps to the course's own device."


def own_sentences(profile: tables.Profile) -> tuple[Said, ...]:
    """Return what is added to the lesson for a department's device."""
    begins = f"**With the device of {whose(profile)}:**"
    working, window = profile.working_distance_mm, profile.window_mm
    far, near = (
        _VEIN_MM * float(calc.camera_scale(off, reference_distance_mm=working))
        for off in (window, -window)
    )
    left = calc.illuminance_at_distance_lx(
        1, distance_error_mm=window, reference_distance_mm=working
    )
    wide, high = profile.picture_width_mm, profile.picture_height_mm
    tilts = [calc.largest_tilt_deg(side, window_mm=window) for side in (wide, high)]
    device = calc.scenario_device()
    planes = {"baseline_mm": device.baseline_mm, "reference_distance_mm": working}
    shift = calc.registration_error_mm(window, **planes)
    tolerated = device.registration_tolerance_mm
    allowed = calc.distance_error_allowed_mm(tolerated, **planes)
    lit = calc.picture_illuminance_lx(
        profile.light_output_lm, picture_width_mm=wide, picture_height_mm=high
    )
    limit = calc.room_light_limit_lx(lit, weber_needed=device.weber_needed)
    first = "registration" if allowed < window else "sharpness"
    return (
        Said(
            "read-the-distance",
            f"{begins} its working distance is {working:g} mm and its window {window:g} mm either "
            f"side, from {working - window:g} to {working + window:g} mm. At the far end a vein of "
            f"{_VEIN_MM:.1f} mm measures {far:.2f} mm in the picture, at the near end {near:.2f} "
            f"mm; {100 * left:.0f} % of the light is left at the far end. {_KEPT}",
        ),
        Said(
            "read-the-tilt",
            f"{begins} its picture is {wide:g} by {high:g} mm. The long side stays in the window "
            f"up to a tilt of {tilts[0]:.0f} degrees, the short side up to {tilts[1]:.0f}. {_KEPT}",
        ),
        Said(
            "read-the-shift",
            f"{begins} at the end of the window, {window:g} mm too far, the line is {shift:.1f} mm "
            f"beside the vein, if the baseline is {device.baseline_mm:g} mm. A shift of "
            f"{tolerated:g} mm comes at {allowed:.1f} mm, so {first} fails first. {_KEPT}",
        ),
        Said(
            "read-the-room",
            f"{begins} {profile.light_output_lm:g} lumens into {wide:g} by {high:g} mm give "
            f"{lit:,.0f} lx on the skin, enough up to a room light of {limit:,.0f} lx. {_KEPT}",
        ),
    )
