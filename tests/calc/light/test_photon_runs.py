"""Laws of photon transport: what must hold whatever the tissue."""

from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cubital import calc
from cubital.calc import Layer, Medium, Vein
from cubital.calc.light.transport import photons

SKIN = (Layer(Medium(0.2, 10.0, 0.85, 1.4), 0.1), Layer(Medium(0.03, 15.0, 0.9, 1.4), 10.0))
BLOOD = Medium(0.5, 70.0, 0.98, 1.4)
STRIPS = {"beam": "broad", "across_bin_mm": 0.5, "across_bins": 40}
CLOSE = {"beam": "broad", "across_bin_mm": 0.5, "across_bins": 8}
AIR = Layer(Medium(0.0, 0.0, 0.0, 1.0), 5.0)
run = partial(calc.photon_run, photons=20_000, seed=1)


def shares(found):
    """Return all that the light can become, without its errors."""
    single = [found.diffuse_reflectance, found.transmittance, found.roulette_balance]
    many = [found.absorbed_by_layer, found.absorbed_by_vein]
    return [found.specular_reflectance, *(s.value for s in single), *(s.value.sum() for s in many)]


def apart(one, other):
    """Return how many standard errors two scores lie apart."""
    error = np.hypot(one.standard_error, other.standard_error)
    return np.abs(one.value - other.value) / error


MEDIA = st.builds(
    Medium,
    absorption_per_mm=st.floats(0.01, 20),
    scattering_per_mm=st.floats(0, 100),
    anisotropy=st.floats(-0.9, 0.99),
    refractive_index=st.floats(1, 1.6),
)
LAYERS = st.lists(st.builds(Layer, MEDIA, st.floats(0.05, 3)), min_size=1, max_size=4)


@settings(max_examples=40)
@given(LAYERS, MEDIA, st.sampled_from(["pencil", "broad"]), st.floats(0.5, 90))
def test_the_shares_of_the_light_add_to_one(layers, blood, beam, angle):
    """To the last digits, with what roulette took and gave; each is a possible share."""
    depth = sum(layer.thickness_mm for layer in layers)
    veins = [Vein(blood, depth / 4, depth / 3)] if depth > 0.4 else []
    options = {**STRIPS, "beam": beam, "exit_angle_deg": angle}
    found = run(layers, photons=1000, veins=veins, radial_bin_mm=0.1, radial_bins=9, **options)
    assert sum(shares(found)) == pytest.approx(1, abs=1e-9)
    assert np.abs(found.roulette_balance.value) <= 5 * found.roulette_balance.standard_error + 1e-12
    for score in found:
        if isinstance(score, calc.Score) and score is not found.roulette_balance:
            assert np.isfinite(score.standard_error).all()
            assert np.greater_equal(score.value, 0).all()
    assert found.detected_reflectance.value <= found.diffuse_reflectance.value


def test_photons_end_where_a_vein_joins_layers_that_absorb_unlike():
    """Down through the vein and up beside it, ever fainter photons once split without end."""
    pale = Medium(0.99999, 1 / 0.710220141, 0.01, 1.31469752)
    layers = [
        Layer(Medium(2.65815585, 0.0, -0.307165649, 1.41488731), 0.05),
        Layer(pale, 2.88084269),
        Layer(pale, 0.89588537),
        Layer(Medium(13.7681862, 1 / 0.41419244, -0.488664325, 1.40801414), 2.7954421),
    ]
    clear = Medium(1.41488731, 0.0, 0.01, 1.31469752)
    found = run(layers, photons=1000, veins=[Vein(clear, 1.6555423, 2.2073897)])
    assert sum(shares(found)) == pytest.approx(1, abs=1e-9)


@pytest.mark.parametrize("g", [5e-324, 1e-300, -6e-17, 2.2e-16, 1e-9])
def test_an_anisotropy_next_to_none_is_none(g):
    """The usual form of the scattering angle divides by it; photons then never end."""
    found = [
        run([Layer(Medium(0.01, 50.0, own, 1.0), 1.0)], photons=1000).diffuse_reflectance.value
        for own in (g, 0.0)
    ]
    assert found[0] == pytest.approx(found[1], rel=1e-6)


def test_a_scattering_next_to_none_is_none():
    layers = [[Layer(Medium(0.01, scattering, 0.5, 1.4), 1.0)] for scattering in (5e-324, 0.0)]
    found = [run(own, photons=1000).transmittance.value for own in layers]
    assert found[0] == found[1]


@pytest.mark.parametrize("g", [-0.9, -0.3, 1e-17, 0.001, 0.5, 0.9, 0.99])
def test_scattering_angles_follow_henyey_and_greenstein(g):
    """Second method: the integral of their density over the cosine, inverted."""
    state = (1, 2, 3, 4)
    cosines = np.empty(20_000)
    for i in range(len(cosines)):
        words = tuple(np.uint64(word) for word in state)
        *_, cosines[i], state = photons._turn(0.0, 0.0, 1.0, g, words)
    steps = np.linspace(-1, 1, 9)
    one_way = 1 / np.sqrt(1 + g * g - 2 * g * steps) - 1 / (1 + g)
    below = (1 - g * g) / (2 * g) * one_way if abs(g) > 1e-6 else (steps + 1) / 2
    found = [(cosines <= step).mean() for step in steps]
    np.testing.assert_allclose(found, below, atol=0.016)  # Kolmogorov's 0.01 % in 20,000


def test_roulette_takes_as_much_as_it_gives():
    balance = run(SKIN, photons=400_000).roulette_balance
    assert abs(balance.value) < 3 * balance.standard_error < 0.005


def test_standard_errors_are_those_of_repeated_runs():
    found = [run(SKIN, photons=2000, seed=seed).diffuse_reflectance for seed in range(60)]
    spread = np.std([score.value for score in found], ddof=1)
    claimed = np.sqrt(np.mean([score.standard_error**2 for score in found]))
    assert spread / claimed == pytest.approx(1, abs=0.3)  # 60 runs know it to 0.09


def test_a_matched_face_has_no_specular_reflection():
    layers = [Layer(Medium(0.1, 5.0, 0.8, 1.4), 1.0)]
    assert run(layers, above_index=1.4).specular_reflectance == pytest.approx(0, abs=1e-15)
    assert run(layers).specular_reflectance == pytest.approx((0.4 / 2.4) ** 2)


def test_clear_layers_obey_beer_and_lambert():
    """Without scattering or faces every photon takes the same way, so chance has no part."""
    clear = [Layer(Medium(mua, 0.0, 0.0, 1.0), 0.7) for mua in (0.3, 0.0, 1.1)]
    found = run(clear)
    assert found.transmittance.value + found.roulette_balance.value == pytest.approx(
        np.exp(-0.7 * 1.4), abs=4 * found.transmittance.standard_error + 1e-12
    )
    thin = run([Layer(Medium(0.3, 0.0, 0.0, 1.0), 0.7)])
    assert thin.transmittance.value == pytest.approx(np.exp(-0.21), rel=1e-12)
    assert thin.diffuse_reflectance.value == 0


def test_a_glass_plate_reflects_from_both_faces():
    """2 r / (1 + r) in all, r of one face, from the sum over all goings back and forth."""
    plate = run([Layer(Medium(0.0, 0.0, 0.0, 1.5), 1.0)], photons=200_000)
    face = 0.2**2
    total = plate.specular_reflectance + plate.diffuse_reflectance.value
    assert total == pytest.approx(
        2 * face / (1 + face), abs=3 * plate.diffuse_reflectance.standard_error
    )


def test_a_clear_vein_in_clear_surroundings_absorbs_along_its_chords():
    """By a sum over chords; light goes straight down, and stays too strong for roulette."""
    vein = Vein(Medium(0.5, 0.0, 0.0, 1.0), 0.3, 2.0, 0.5)
    found = run([AIR], veins=[vein], photons=300_000, **CLOSE)
    across = (np.arange(200_000) + 0.5) / 50_000 - 2
    chord = 2 * np.sqrt(np.maximum(1 - (across - 0.5) ** 2, 0))
    expected = np.mean(1 - np.exp(-0.5 * chord))
    score = found.absorbed_by_vein
    assert 3 * score.standard_error[0] < 0.007 * expected
    assert score.value[0] == pytest.approx(expected, abs=3 * score.standard_error[0])
    assert found.transmittance.value + score.value[0] == pytest.approx(1, abs=1e-12)


def test_light_that_is_led_aside_in_a_clear_sheet_is_given_up_in_time():
    """A scattering vein sends light into a sheet of glass that never lets it out again."""
    sheet = Layer(Medium(0.0, 0.0, 0.0, 1.6), 3.0)
    found = run([sheet], photons=1000, veins=[Vein(Medium(0.0, 9.0, 0.5, 1.6), 1.0, 1.0)])
    assert found.roulette_balance.value > 0.1
    assert sum(shares(found)) == pytest.approx(1, abs=1e-9)


@pytest.mark.parametrize("absorption", [0.4, 100.0])
def test_a_denser_vein_takes_what_its_wall_lets_in_and_keeps_in(absorption):
    """By a sum over the places where light meets it. Each chord, and each meeting with the wall
    from inside, is like the one before: a geometric series, by Snell and Fresnel."""
    vein = Vein(Medium(absorption, 0.0, 0.0, 1.5), 0.3, 2.0)
    found = run([AIR], veins=[vein], photons=300_000, **CLOSE)
    across = (np.arange(200_000) + 0.5) / 100_000 - 1
    incidence = np.degrees(np.arcsin(np.abs(across)))
    faces = {"refractive_index": 1.0, "refractive_index_beyond": 1.5}
    face = calc.reflectance_share(incidence, **faces)
    inside = np.radians(calc.refraction_angle_deg(incidence, **faces))
    left = np.exp(-absorption * 2 * np.cos(inside))
    expected = np.mean((1 - face) * (1 - left) / (1 - face * left)) * 2 / 4
    score = found.absorbed_by_vein
    assert 3 * score.standard_error[0] < 0.01 * expected
    assert score.value[0] == pytest.approx(expected, abs=3 * score.standard_error[0])


def test_more_absorption_never_reflects_more():
    found = [
        run([layer._replace(medium=layer.medium._replace(absorption_per_mm=mua)) for layer in SKIN])
        for mua in (0.01, 0.05, 0.3, 2.0)
    ]
    values = [one.diffuse_reflectance.value for one in found]
    assert (np.diff(values) < 0).all()


def test_two_layers_of_one_medium_are_one_layer():
    medium = Medium(0.05, 8.0, 0.8, 1.4)
    one = run([Layer(medium, 2.0)], photons=200_000)
    two = run([Layer(medium, 0.7), Layer(medium, 1.3)], photons=200_000, seed=2)
    assert apart(one.diffuse_reflectance, two.diffuse_reflectance) < 3
    assert apart(one.transmittance, two.transmittance) < 3


def test_a_vein_of_the_same_medium_changes_nothing():
    medium = Medium(0.03, 12.0, 0.9, 1.4)
    layers = [Layer(medium, 0.8), Layer(medium, 5.0)]
    options = {"photons": 200_000, **STRIPS}
    one = run(layers, **options)
    two = run(layers, veins=[Vein(medium, 0.3, 2.0), Vein(medium, 3.0, 1.0)], seed=2, **options)
    assert apart(one.diffuse_reflectance, two.diffuse_reflectance) < 3
    assert apart(one.transmittance, two.transmittance) < 3
    total = two.absorbed_by_layer.value.sum() + two.absorbed_by_vein.value.sum()
    error = np.hypot.reduce([*two.absorbed_by_layer.standard_error, 0.001])
    assert total == pytest.approx(one.absorbed_by_layer.value.sum(), abs=4 * error)
    assert np.sqrt(np.mean(apart(one.across_reflectance, two.across_reflectance) ** 2)) < 1.4


def test_a_vein_darkens_the_skin_above_it_and_only_there():
    found = run(SKIN, photons=200_000, veins=[Vein(BLOOD, 1.0, 2.0, 2.0)], **STRIPS)
    dark = found.across_reflectance.value
    darkest = found.across_mm[np.argmin(np.convolve(dark, np.ones(3), "same")[1:-1]) + 1]
    assert abs(darkest - 2.0) <= 1.0
    edge = np.r_[dark[:6], dark[-3:]]
    assert dark.min() < 0.85 * edge.mean()
    skin = run(SKIN, photons=200_000).diffuse_reflectance
    error = np.sqrt(np.mean(found.across_reflectance.standard_error**2) / len(edge))
    assert edge.mean() == pytest.approx(skin.value, abs=3 * np.hypot(error, skin.standard_error))


def test_profiles_hold_all_detected_light():
    """Rings wide enough hold it all; strips of a broad beam always do."""
    found = run(SKIN, radial_bin_mm=2.0, radial_bins=100, exit_angle_deg=60)
    areas = np.pi * np.diff((2.0 * np.arange(101)) ** 2)
    total = (found.radial_reflectance_per_mm2.value * areas).sum()
    assert total == pytest.approx(found.detected_reflectance.value, rel=1e-12)
    broad = run(SKIN, **STRIPS)
    assert broad.across_reflectance.value.mean() == pytest.approx(
        broad.diffuse_reflectance.value, rel=1e-12
    )
    narrow = run(SKIN, across_bin_mm=2.0, across_bins=100)
    assert narrow.across_reflectance.value.sum() * 2.0 == pytest.approx(
        narrow.diffuse_reflectance.value, rel=1e-12
    )


def test_a_wider_cone_never_detects_less():
    found = [run(SKIN, exit_angle_deg=angle) for angle in (10, 30, 60, 89.99, 90)]
    values = [one.detected_reflectance.value for one in found]
    assert (np.diff(values[:-1]) > 0).all()
    assert values[-2] <= values[-1]
    assert values[-1] == found[-1].diffuse_reflectance.value
    assert len({one.diffuse_reflectance.value for one in found}) == 1


def test_the_same_seed_gives_the_same_run_on_any_number_of_cores():
    options = {"radial_bin_mm": 0.2, "radial_bins": 20, "veins": [Vein(BLOOD, 1.0, 2.0)]}
    one, two, three = (run(SKIN, cores=cores, **options) for cores in (1, 2, 3))
    for alone, other, third in zip(one, two, three, strict=True):
        np.testing.assert_array_equal(alone, other)
        np.testing.assert_array_equal(alone, third)
    assert run(SKIN, seed=2).diffuse_reflectance != run(SKIN).diffuse_reflectance


def test_progress_is_told_to_the_end():
    told = []
    run(SKIN, progress=lambda done, total: told.append((done, total)))
    assert [total for _, total in told] == [20_000] * len(told)
    assert told[-1] == (20_000, 20_000)
    assert (np.diff([done for done, _ in told]) > 0).all()


def test_an_error_in_progress_stops_the_run():
    def stop(done, total):
        raise InterruptedError

    with pytest.raises(InterruptedError):
        run(SKIN, progress=stop)


def layers_with(**change):
    return [SKIN[0]._replace(medium=SKIN[0].medium._replace(**change)), SKIN[1]]


@pytest.mark.parametrize(
    ("layers", "options", "message"),
    [
        ([], {}, "there is no layer"),
        (layers_with(absorption_per_mm=-1), {}, "absorption coefficient is -1 1/mm"),
        (layers_with(scattering_per_mm=np.nan), {}, "scattering coefficient is nan 1/mm"),
        (layers_with(anisotropy=1), {}, "anisotropy is 1: it must be from -0.99 to 0.999"),
        (layers_with(refractive_index=0.9), {}, "refractive index is 0.9"),
        ([SKIN[0]._replace(thickness_mm=0), SKIN[1]], {}, "layer thickness is 0 mm"),
        ([SKIN[0]._replace(thickness_mm=np.inf), SKIN[1]], {}, "layer thickness is inf mm"),
        (
            [Layer(Medium(0.0, 10.0, 0.9, 1.4), np.inf)],
            {},
            r"infinite layer absorbs 0.0 1/mm and scatters 10.0 1/mm: both must be above 0",
        ),
        (SKIN, {"photons": 10}, "number of photons is 10: it must be from 1000"),
        (SKIN, {"seed": -1}, "seed is -1"),
        (SKIN, {"seed": 1.5}, "seed is 1.5"),
        (SKIN, {"beam": "wide"}, "beam is 'wide': it must be 'pencil' or 'broad'"),
        (SKIN, {"beam": "broad"}, "broad beam is as wide as its strips"),
        (SKIN, {"exit_angle_deg": 0}, "largest exit angle that counts is 0 degrees"),
        (SKIN, {"exit_angle_deg": 91}, "largest exit angle that counts is 91 degrees"),
        (SKIN, {"radial_bins": 5}, "radial_bin_mm is not given"),
        (SKIN, {"radial_bin_mm": 0, "radial_bins": 5}, "width of a ring is 0 mm"),
        (SKIN, {"across_bin_mm": np.inf, "across_bins": 5}, "width of a strip is inf mm"),
        (SKIN, {"cores": 0}, "number of cores is 0"),
        (SKIN, {"above_index": 0}, "refractive index is 0"),
        (SKIN, {"veins": [Vein(BLOOD, 0.0, 2.0)]}, "depth of the vein is 0 mm"),
        (SKIN, {"veins": [Vein(BLOOD, 1.0, 0.0)]}, "vein diameter is 0 mm"),
        (SKIN, {"veins": [Vein(BLOOD, 9.0, 2.0)]}, "reaches 11 mm deep: .* within .* 10.1 mm"),
        (
            SKIN,
            {"veins": [Vein(BLOOD, 1.0, 2.0), Vein(BLOOD, 2.0, 2.0, 1.0)]},
            "two veins overlap by 0.58",
        ),
    ],
)
def test_an_impossible_scene_raises(layers, options, message):
    with pytest.raises(ValueError, match=message):
        run(layers, **options)


def test_veins_may_touch_and_the_last_may_end_where_the_layers_end():
    veins = [Vein(BLOOD, 1.0, 2.0), Vein(BLOOD, 1.0, 2.0, 2.0), Vein(BLOOD, 8.1, 2.0)]
    assert sum(shares(run(SKIN, veins=veins))) == pytest.approx(1, abs=1e-9)
