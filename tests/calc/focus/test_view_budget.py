"""The budget of the scenario device: by hand once, and by its laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cubital import calc, tables
from cubital.tables.focus import holdings

DEVICE = calc.scenario_device()


def budget(holding="hand-held", room_lx=500, device=DEVICE, **more):
    return calc.view_budget(device, holding=holding, room_lx=room_lx, **more)


def test_the_free_hand_by_hand():
    """Device: window 18 at 220 mm, baseline 24 mm, delay 70 ms, 14 lm on 96 x 72 mm.

    Hand: set 6 mm off, drift 5 mm (two standard deviations: 10) with time constant 3 s, tremor
    0.05 mm at 7 Hz. At 20 mm from the middle on skin tilted by 10 degrees: 20 sin 10 = 3.473 mm.
    Distance: 6 + 3.473 + sqrt(10^2 + 0.05^2) = 19.473 mm, of 18 mm.
    Registration: 24 / 220 of the fixed parts = 1.0334; chance: 24 / 220 x 10 = 1.0909; drift in the
    delay 2 x 5 x sqrt(2 (1 - 1.023333 e^-0.023333)) = 0.2315; tremor in the delay
    2 x 0.05 x sin(0.49 pi) = 0.09995; sqrt(1.0909^2 + 0.0055^2 + 0.2315^2 + 0.09995^2) = 1.1197.
    Light: 14 / 0.006912 = 2025.5 lx; x (220 / 239.473)^2 x cos 10 = 1683.4 lx; / 500 = 3.367.
    """
    found = budget(tilt_deg=10, place_mm=20)
    assert found.window_used_mm == pytest.approx(19.473, abs=1e-3)
    assert found.window_share == pytest.approx(1.0818, abs=1e-4)
    assert found.registration_error_mm == pytest.approx(2.1531, abs=1e-4)
    assert found.scale == pytest.approx(0.91868, abs=1e-5)
    assert found.projected_lx == pytest.approx(1683.4, abs=0.1)
    assert found.weber == pytest.approx(3.367, abs=1e-3)
    assert found.room_light_limit_lx == pytest.approx(3366.8, abs=0.3)
    assert found.reasons == (
        "the skin is 19 mm off, and the window is 18 mm",
        "the mark falls 2.2 mm beside the vein, and 1 mm is tolerated",
    )
    assert not found.holds


def test_the_totals_are_the_lines_added_and_chance_in_squares():
    found = budget(tilt_deg=15, place_mm=-20, limb_radius_mm=45)
    for of, total in (
        ("window", found.window_used_mm),
        ("registration", found.registration_error_mm),
    ):
        lines = [line for line in found.lines if line.of == of]
        fixed = sum(line.amount_mm for line in lines if not line.random)
        chance = np.sqrt(sum(line.amount_mm**2 for line in lines if line.random))
        assert fixed + chance == pytest.approx(total)
    limb = next(line for line in found.lines if line.words == "round limb")
    assert limb.amount_mm == pytest.approx(45 - np.sqrt(45**2 - 20**2))


@given(st.sampled_from([*holdings()]), st.floats(-40, 40), st.floats(-40, 40))
def test_tilt_and_place_either_way_cost_the_same_and_never_help(holding, tilt, place):
    base = budget(holding)
    found = budget(holding, tilt_deg=tilt, place_mm=place)
    mirrored = budget(holding, tilt_deg=-tilt, place_mm=-place)
    assert found.window_used_mm == pytest.approx(mirrored.window_used_mm)
    assert found.window_used_mm >= base.window_used_mm
    assert found.registration_error_mm >= base.registration_error_mm
    assert found.projected_lx <= base.projected_lx


def test_on_a_common_axis_without_delay_only_focus_is_at_stake():
    found = budget(device=DEVICE._replace(baseline_mm=0, latency_ms=0), tilt_deg=30, place_mm=30)
    assert found.registration_error_mm == 0
    assert found.window_share > 1


def test_a_steadier_hold_uses_less_of_everything():
    used = [(budget(key).window_used_mm, budget(key).registration_error_mm) for key in holdings()]
    assert used == sorted(used, reverse=True)
    assert budget("fixed-stand").holds


def test_a_picture_can_look_sharp_and_still_be_out_of_register():
    found = budget("hand-held")
    assert found.window_share < 1 < found.registration_share
    assert len(found.reasons) == 1


def test_room_light_above_the_limit_is_the_reason_given():
    found = budget("fixed-stand", room_lx=20_000)
    assert found.reasons[0].startswith("the room light of 20000 lx is above the ")
    assert found.room_light_limit_lx < 20_000


def test_a_departments_own_profile_is_used(tmp_path):
    (tmp_path / "local-profile.toml").write_text(
        "[device]\nworking_distance_mm = 250\nlight_output_lm = 20\n", encoding="utf-8"
    )
    own = calc.scenario_device(tmp_path)
    assert (own.working_distance_mm, own.window_mm) == (250, tables.profile().window_mm)
    assert budget(device=own).projected_lx > budget().projected_lx
    (tmp_path / "local-profile.toml").write_text("[device]\nwindow_mm = 5000\n", encoding="utf-8")
    with pytest.raises(ValueError, match="window_mm is 5000"):
        calc.scenario_device(tmp_path)


def test_the_implausible_is_remarked_and_the_impossible_raises():
    assert "tilt of the skin against the axis 60 degrees" in budget(tilt_deg=60).remarks[0]
    with pytest.raises(ValueError, match="no way of holding is called 'tripod': choose hand-held"):
        budget("tripod")
    with pytest.raises(ValueError, match="60 mm: it must be on the limb"):
        budget(place_mm=60, limb_radius_mm=40)
