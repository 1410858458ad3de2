"""What the lesson on focal geometry says with a department's own device.

Its figures follow the device too, but for the one of hand and stand: a question of the worksheet
is answered from that one.
"""

import math
from collections.abc import Iterator

from cubital import calc, tables
from cubital.calc.shared.units import MM_PER_M
from cubital.explore.focus import polarity, target_check
from cubital.explore.focus.view_tables import LIMBS_MM
from cubital.explore.kit.department import Said, device_of, whose
from cubital.tables.focus import room_light

_VEIN_MM, _TILT_DEG, _OFF_MM = 3.0, 30, 9  # as in the lesson
_STEEP_DEG, _ASIDE_MM = 20, 30  # in its fold on other baselines
_BESIDE_MM, _SLOPE_DEG = 20, 10  # beside a limb's highest line; of the table of sizes
_CHECKED_MM = 15  # how far off the target is


def own_sentences(profile: tables.Profile) -> tuple[Said, ...]:
    """Return what the lesson says otherwise for a department's device."""
    device, of = device_of(profile), whose(profile)
    return (
        *_distance(device, of),
        *_tilt(device),
        *_shift(device),
        *_room(device),
        *_lines(device),
        *_sizes(device),
        *_steadiness(device),
        _check(device),
    )


def _distance(device: calc.ViewDevice, of: str) -> Iterator[Said]:
    working, window = device.working_distance_mm, device.window_mm
    near, far = working - window, working + window
    narrow, broad = (
        _VEIN_MM * float(calc.camera_scale(off, reference_distance_mm=working))
        for off in (window, -window)
    )
    blur = calc.blur_on_skin_mm(
        far,
        focus_distance_mm=working,
        focal_length_mm=device.focal_length_mm,
        f_number=device.f_number,
    )
    left = calc.illuminance_at_distance_lx(
        1, distance_error_mm=window, reference_distance_mm=working
    )
    yield Said(
        "working-distance",
        f"This lesson is now about the device of {of}. Its working distance is {working:g} mm and "
        f"its window {window:g} mm either side: from {near:g} to {far:g} mm. Lens, baseline, delay "
        "and what is tolerated stay the course's *teaching assumptions*.",
        "The device of this course is invented. Its working distance is 220 mm and its window 18 "
        "mm either side: from 202 to 238 mm.",
    )
    yield Said(
        "working-distance",
        f"you drift from {working:g} to {far:g} mm, the far end",
        "you drift from 220 to 238 mm, the far end",
    )
    yield Said(
        "read-the-distance",
        f"at {far:g} mm the vein measures {narrow:.2f} mm, at {near:g} mm, the near end, "
        f"{broad:.2f} mm.",
        "at 238 mm the vein measures 2.77 mm, at 202 mm, the near end, 3.27 mm.",
    )
    yield Said("size-and-light", f"to only {float(blur):.2f} mm;", "to only 0.23 mm;")
    yield Said(
        "size-and-light",
        f"{100 * float(left):.0f} % is left at {far:g} mm",
        "85 % is left at 238 mm",
    )


def _tilt(device: calc.ViewDevice) -> Iterator[Said]:
    wide, high, window = device.picture_width_mm, device.picture_height_mm, device.window_mm
    longest, shortest = (calc.largest_tilt_deg(side, window_mm=window) for side in (wide, high))
    aside = calc.largest_tilt_deg(wide, window_mm=window - _OFF_MM)
    end, turned = (calc.tilt_depth_span_mm(side, tilt_deg=_TILT_DEG) / 2 for side in (wide, high))
    short = "all" if turned <= window * 1.0001 else f"{100 * window / turned:.0f} %"
    yield Said(
        "tilt-and-turn",
        f"The picture of this device is {wide:g} by {high:g} mm. Up to a tilt of "
        f"{math.floor(longest)} degrees the long side stays in the window.",
        "Our device's picture is 96 by 72 mm. At a tilt of 20 degrees the long side just stays in "
        "the window.",
    )
    yield Said(
        "read-the-tilt",
        f"at 30 degrees {100 * min(1, window / end):.0f} % of the long side is in the window; the "
        f"ends are {end:.0f} mm too near and {end:.0f} mm too far. Turned by 90 degrees, so that "
        f"the short side lies along the slope, {short} of it is.",
        "at 30 degrees 75 % of the long side is in the window; the ends are 24 mm too near and 24 "
        "mm too far. Turned by 90 degrees, so that the short side lies along the slope, all of it "
        "is.",
    )
    yield Said(
        "read-the-tilt",
        f"the largest tilt falls from {longest:.0f} to {aside:.0f} degrees",
        "the largest tilt falls from 22 to 11 degrees",
    )
    yield Said(
        "stretched",
        f"The short side stays in the window up to {shortest:.0f} degrees.",
        "The short side stays in the window up to 30 degrees.",
    )


def _shift(device: calc.ViewDevice) -> Iterator[Said]:
    window, tolerated = device.window_mm, device.registration_tolerance_mm
    planes = {
        "baseline_mm": device.baseline_mm,
        "reference_distance_mm": device.working_distance_mm,
    }
    shift = float(calc.registration_error_mm(window, **planes))
    allowed = calc.distance_error_allowed_mm(tolerated, **planes)
    steep = calc.registration_error_on_slope_mm(_ASIDE_MM, tilt_deg=_STEEP_DEG, **planes)
    limbs = (LIMBS_MM["forearm"], LIMBS_MM["a child's forearm"])
    drops = [calc.limb_drop_mm(_BESIDE_MM, limb_radius_mm=radius) for radius in limbs]
    adult, child = (abs(calc.registration_error_mm(drop, **planes)) for drop in drops)
    if allowed < window:
        first = f"**registration fails {100 * allowed / window:.0f} % of the way to the end of "
        first += "the window, and sharpness does not tell you.**"
    else:
        first = "**sharpness fails first, at the end of the window.**"
    yield Said(
        "registration",
        f"the skin is {window:g} mm too far, at the end",
        "the skin is 18 mm too far, at the end",
    )
    yield Said("registration", f"the first slider to {window:g}.", "the first slider to 18.")
    yield Said(
        "read-the-shift",
        f"{shift:.1f} mm beside the vein, {shift / tolerated:.1f} times what is tolerated, in a "
        f"picture that counts as sharp. A shift of {tolerated:g} mm comes at {allowed:.1f} mm: "
        f"{first}",
        "2.0 mm beside the vein, twice what is tolerated, in a picture that counts as sharp. A "
        "shift of 1 mm comes at 9.2 mm already: **registration fails about half way to the end of "
        "the window.** So the line of our first question may lie two millimetres beside the vein.",
    )
    yield Said(
        "read-the-shift",
        f"Leave the skin {window:g} mm too far and **turn**",
        "Leave the skin 18 mm too far and **turn**",
    )
    yield Said(
        "read-the-shift",
        f"a fork is shown {shift:.1f} mm farther along",
        "a fork is shown 2.0 mm farther along",
    )
    yield Said(
        "other-baselines",
        f"Leave the skin {window:g} mm too far.",
        "Leave the skin 18 mm too far.",
    )
    yield Said(
        "other-baselines",
        f"With 48 mm it is {2 * shift:.1f} mm. At −{window:g} mm,",
        "With 48 mm it is 3.9 mm. At −18 mm,",
    )
    yield Said("other-baselines", f"a line {steep:.1f} mm off", "a line 1.2 mm off")
    yield Said(
        "read-the-limbs",
        f"and the line {adult:.1f} mm off. On a child's forearm it is {drops[1]:.1f} mm and "
        f"{child:.1f} mm, {'over' if child > tolerated else 'within'} what is tolerated.",
        "and the line 0.6 mm off. On a child's forearm it is 10.0 mm and 1.1 mm, over what is "
        "tolerated.",
    )


def _lit_lx(device: calc.ViewDevice, times: float = 1) -> float:
    """Return the light of the device's picture on the skin, made so many times as wide."""
    lit: float = calc.picture_illuminance_lx(
        device.light_output_lm,
        picture_width_mm=times * device.picture_width_mm,
        picture_height_mm=times * device.picture_height_mm,
    )
    return lit


def _limit_lx(device: calc.ViewDevice, times: float = 1) -> float:
    lit = _lit_lx(device, times)
    return float(calc.room_light_limit_lx(lit, weber_needed=device.weber_needed))


def _room(device: calc.ViewDevice) -> Iterator[Said]:
    rooms, lit = room_light(), _lit_lx(device)
    noticed = tables.constant("contrast-just-noticed").value - 1
    examination, window, lamp = (
        lit / rooms[key].illuminance_lx for key in ("examination-room", "window", "procedure-lamp")
    )

    def words(weber: float) -> str:
        if weber >= device.weber_needed:
            return "enough"
        return "too little to rely on" if weber >= noticed else "not seen"

    yield Said(
        "room-light",
        f"This device puts {lit:,.0f} lx (lux) on the skin.",
        "Our device puts 2,025 lx (lux) on the skin.",
    )
    if examination < device.weber_needed:
        yield Said(
            "room-light",
            "the picture is not easily seen in the examination room; is it easily seen under",
            "the picture is easily seen in the examination room; is it still easily seen under",
        )
    yield Said(
        "read-the-room",
        f"{examination:.2f} in the examination room, {words(examination)}; {window:.2f} beside a "
        f"window by day, {words(window)}; {lamp:.2f} under the procedure lamp, {words(lamp)}. The "
        f"picture is easily seen up to a room light of {_limit_lx(device):,.0f} lx.",
        "4.05 in the examination room; 0.81 beside a window by day, still enough; 0.10 under the "
        "procedure lamp, too little to rely on. Our picture is easily seen up to a room light of "
        "4,051 lx.",
    )


def _lines(device: calc.ViewDevice) -> Iterator[Said]:
    rooms = room_light()
    night, lamp = (rooms[key].illuminance_lx for key in ("night", "procedure-lamp"))
    both = (polarity.LIGHT, polarity.DARK)
    at_night, under_lamp = (
        [float(polarity.times_noticed(lux, lines=way, device=device)) for way in both]
        for lux in (night, lamp)
    )
    skins = [polarity.luminances_cd_per_m2(night, lines=way, device=device)[1] for way in both]
    least = [100 * float(polarity.least_difference_cd_per_m2(skin) / skin) for skin in skins]
    wide, high = device.picture_width_mm, device.picture_height_mm
    yield Said(
        "read-the-lines",
        f"a light line stands out {under_lamp[0]:.1f} times as much as the eye needs to notice it, "
        f"a dark line {under_lamp[1]:.1f} times",
        "a light line stands out 4.6 times as much as the eye needs to notice it, a dark line 4.2 "
        "times",
    )
    yield Said(
        "read-the-lines",
        f"the light line stands out {at_night[0]:,.0f} times and the dark line "
        f"{at_night[1]:,.0f} times",
        "the light line stands out 4,879 times and the dark line 44 times",
    )
    yield Said(
        "eye-in-numbers",
        f"by about {100 * _lit_lx(device) / lamp:.0f} %",
        "by about 10 %",
    )
    yield Said(
        "eye-in-numbers",
        f"{least[0]:.0f} % for a line of 1 mm at night, and {least[1]:.0f} % on skin",
        "8 % for a line of 1 mm at night, and 2 % on skin",
    )
    yield Said(
        "eye-in-numbers",
        f"This device gives {device.light_output_lm:g} lumens into {wide:g} by {high:g} mm, and "
        f"that is {wide / MM_PER_M:g} m × {high / MM_PER_M:g} m.",
        "Our device gives 14 lumens into 96 by 72 mm, and that is 0.096 m × 0.072 m.",
    )


def _sizes(device: calc.ViewDevice) -> Iterator[Said]:
    wide = device.picture_width_mm

    def edge(times: float) -> float:
        return max(
            abs(
                float(
                    calc.registration_error_on_slope_mm(
                        sign * times * wide / 2,
                        tilt_deg=_SLOPE_DEG,
                        baseline_mm=device.baseline_mm,
                        reference_distance_mm=device.working_distance_mm,
                    )
                )
            )
            for sign in (-1, 1)
        )

    yield Said(
        "larger-picture",
        f"{2 * wide:g} mm wide instead of {wide:g} mm, in the same shape; how much of its "
        f"{_lit_lx(device):,.0f} lx",
        "192 mm wide instead of 96 mm, in the same shape; how much of its 2,025 lx",
    )
    yield Said("read-the-sizes", f"25 %, or {_lit_lx(device, 2):,.0f} lx:", "25 %, or 506 lx:")
    yield Said(
        "read-the-sizes",
        f"only up to {_limit_lx(device, 2):,.0f} lx of room light",
        "only up to 1,013 lx of room light",
    )
    yield Said(
        "read-the-sizes",
        f"up to {edge(2):.1f} mm off, not {edge(1):.1f} mm",
        "up to 1.9 mm off, not 0.9 mm",
    )


def _steadiness(device: calc.ViewDevice) -> Iterator[Said]:
    place = {"room_lx": 500, "place_mm": 20, "tilt_deg": 10}  # as in the lesson
    hand, stand = (
        calc.view_budget(device, holding=key, **place) for key in ("hand-held", "fixed-stand")
    )
    yield Said(
        "holding",
        "The figure below keeps to the course's own device: a question of the worksheet is "
        "answered from it.",
    )
    yield Said(
        "read-the-budgets",
        f"at the worst, the free hand is {hand.window_used_mm:.1f} mm off and the line "
        f"{hand.registration_error_mm:.1f} mm beside the vein; on the stand it is "
        f"{stand.window_used_mm:.1f} mm and {stand.registration_error_mm:.1f} mm. The last column "
        "of the table says which of the three ways hold. Bring the vein to the middle and level "
        "the device, and less is used up.",
        "at the worst, the free hand is 19.5 mm off and the line 2.2 mm beside the vein; on the "
        "stand it is 7.3 mm and 0.8 mm. Only the stand is steady enough. Bring the vein to the "
        "middle and level the device, and a rested hand is steady enough too.",
    )


def _check(device: calc.ViewDevice) -> Said:
    n = target_check.check_numbers(
        target_check.CheckState(distance_error_mm=_CHECKED_MM, rotation_deg=0), device
    )
    return Said(
        "read-the-checks",
        f"*{n.verdict.lower()}* at 15 mm, with the farthest mark {n.farthest_mm:.1f} mm off and",
        "*fail* at 15 mm, with the farthest mark 1.8 mm off and",
    )
