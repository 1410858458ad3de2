"""Laws of simulated pictures: light, lens, room, noise, and what vessels do to them."""

import dataclasses

import numpy as np
import pytest

from cubital import calc, tables
from cubital.calc.light import skin_visibility
from cubital.scene.anatomy.vessels import (
    Anatomy,
    BloodPool,
    Camera,
    Change,
    Limb,
    Scene,
    Skin,
    Swelling,
    Vessel,
    View,
)
from cubital.scene.light import geometry, optics, picture, shading, texture

FLAT = Limb(half_width_mm=400, sag_mm=0)
SMALL = View(160, 120, mm_per_px=0.25)
EVEN = Skin(texture_share=0)
STILL = Camera(noise_share=0, fall_off=0)


def straight(key="a", x_mm=0.0, depth_mm=2.0, diameter_mm=3.0, *, kind="vein"):
    """Lay a straight vessel along y, through the picture and far beyond it."""
    y = np.linspace(150, -150, 61)
    same = np.ones(61)
    return Vessel(key, kind, x_mm * same, y, depth_mm * same, diameter_mm * same)


def scene(*vessels, skin=EVEN, view=SMALL, camera=STILL, limb=FLAT, seed=0):
    """Return a scene of vessels, plain unless told otherwise."""
    return Scene(Anatomy("none", "adult", 1, limb, vessels), skin, view, camera, seed)


def contrast(of):
    """Return the contrast along the middle row, from frames without noise."""
    row = of.view.height_px // 2
    return 1 - picture.light(of)[row] / picture.background(of)[row]


# ---- skin, lamp and limb


def test_paler_skin_is_brighter_as_its_reflectance():
    fractions = (0.02, 0.1, 0.3)
    means = [
        picture.light(scene(skin=Skin(melanin_fraction=m, texture_share=0))).mean()
        for m in fractions
    ]
    shares = calc.skin_brightness_share(850.0, epidermal_melanin_fraction=np.array(fractions))
    assert means[0] > means[1] > means[2]
    assert np.divide(means, means[0]) == pytest.approx(shares / shares[0], rel=1e-4)


def test_light_falls_off_to_the_corners_by_the_cameras_share():
    found = picture.background(scene(camera=Camera(noise_share=0, fall_off=0.3)))
    middle = found[60, 80]
    assert found[0, 0] / middle == pytest.approx(0.7, abs=0.005)
    assert found[-1, -1] == pytest.approx(found[0, 0], rel=1e-4)
    assert (np.diff(found[60, 80:]) <= 1e-7).all()


def test_light_falls_with_the_square_of_the_distance():
    near, far = (
        picture.background(scene(view=dataclasses.replace(SMALL, distance_mm=d)))[60, 80]
        for d in (200, 400)
    )
    assert near / far == pytest.approx(4, rel=1e-3)


def test_a_round_limb_is_darker_at_its_sides_and_dark_beyond():
    view = View(320, 64, mm_per_px=0.25)
    limb = Limb(half_width_mm=30, sag_mm=20)
    row = picture.background(scene(view=view, limb=limb))[32]
    x = geometry.to_skin(view, np.arange(320), np.full(320, 31.5))[0]
    inside = np.abs(x) < 29
    assert (np.diff(row[inside & (x > 0)]) < 0).all()
    assert row[inside & (x < 0)] == pytest.approx(row[inside & (x > 0)][::-1], rel=1e-3)
    assert row[np.abs(x) > 32].max() < 0.1 * row[160]


def test_the_relief_follows_the_limb():
    view, limb = View(), Limb(half_width_mm=40, taper=0.1, sag_mm=20)
    x, y = np.meshgrid(np.linspace(-30, 30, 7), np.linspace(-20, 20, 5))
    seen = optics.relief(view, limb, x, y)
    assert seen.distance_mm - 220 == pytest.approx(limb.drop_mm(x, y))
    # an ellipse's own slope: sag x / (w^2 sqrt(1 - x^2 / w^2))
    w = limb.half_width_at_mm(y)
    slope = limb.sag_mm * x / (w**2 * np.sqrt(1 - (x / w) ** 2))
    assert seen.cosine == pytest.approx(1 / np.sqrt(1 + slope**2), rel=1e-3)


def test_square_skin_tilted_is_dimmer_by_the_cosine_of_what_is_not_from_aside():
    aside = tables.constant("picture-aside-light").value
    tilted = picture.background(scene(view=dataclasses.replace(SMALL, tilt_deg=40)))[60, 80]
    square = picture.background(scene())[60, 80]
    expected = aside + (1 - aside) * np.cos(np.radians(40))
    assert tilted / square == pytest.approx(expected, rel=0.002)


# ---- vessels


def test_contrast_on_the_axis_is_that_of_the_calculation_at_full_size():
    for depth, size in ((1.0, 2.0), (3.0, 4.0)):
        of = scene(straight(depth_mm=depth, diameter_mm=size))
        expected = calc.skin_vein_contrast(
            depth,
            lumen_diameter_mm=size,
            picture_wavelength_nm=850.0,
            epidermal_melanin_fraction=0.05,
        )
        assert picture.shade(of).max() == pytest.approx(expected, rel=0.01)


def test_an_artery_takes_light_by_arterial_blood():
    for nm in (760.0, 850.0):
        skin = Skin(wavelength_nm=nm, texture_share=0)
        both = calc.vein_and_artery_contrast(
            1.5,
            lumen_diameter_mm=2.0,
            picture_wavelength_nm=nm,
            epidermal_melanin_fraction=0.05,
        )
        for kind, expected in both._asdict().items():
            of = scene(straight(depth_mm=1.5, diameter_mm=2.0, kind=kind), skin=skin)
            assert picture.shade(of).max() == pytest.approx(expected, rel=0.01)


def test_vessels_apart_take_light_one_after_the_other():
    a, b = straight("a", -3), straight("b", 3, depth_mm=1.0)
    alone = [1 - picture.shade(scene(vessel)) for vessel in (a, b)]
    # all on the finest grid that either asks for: to its accuracy
    assert picture.shade(scene(a, b)) == pytest.approx(1 - alone[0] * alone[1], abs=0.002)


def test_joins_are_no_darker_than_the_darkest_that_joins():
    trunk = straight("a")
    n = np.linspace(0, 1, 41)
    branch = Vessel("b", "vein", 15 * (1 - n), 20 * (1 - n), n * 0 + 2, n * 0 + 3, "a")
    of = scene(trunk, branch)
    joined = picture.shade(of)
    alone = [picture.shade(of, Change(filling={key: np.zeros(1)})) for key in "ba"]
    darkest = np.maximum(*alone)
    assert joined.max() < darkest.max() + 0.001
    # the valley between two bands is rounded by the grid on which they are laid
    assert (joined <= darkest + 0.01).all()
    assert (joined >= 0.9 * darkest - 0.003).all()


def test_an_open_end_fades_smoothly():
    n = np.linspace(0, 1, 31)
    of = scene(Vessel("a", "vein", n * 0, 40 * n, n * 0 + 1, n * 0 + 3))
    along = picture.shade(of)[:, 80]
    full = picture.shade(scene(straight(depth_mm=1.0)))[60, 80]
    assert np.abs(np.diff(along)).max() < 0.06 * full
    # half a line gives half of the light at its end
    row = geometry.to_picture(SMALL, 0, 0)[1]
    assert np.interp(row, np.arange(120), along) == pytest.approx(full / 2, rel=0.03)


@pytest.mark.parametrize("skin", [Skin(), Skin(melanin_fraction=0.2, wavelength_nm=760.0)])
def test_beyond_the_fit_light_fades_by_the_effective_attenuation(skin):
    depths = np.array([7.9, 8.0, 10.0, 14.0])
    found = shading.band(skin, "vein", depth_mm=depths, diameter_mm=3.0).contrast
    absorbed = -np.log1p(-found)
    even = skin_visibility.even_tissue(skin.wavelength_nm)
    fade = calc.effective_attenuation_per_mm(
        float(even["skin_absorption_per_mm"]),
        reduced_scattering_per_mm=float(even["skin_reduced_scattering_per_mm"]),
    )
    assert absorbed[3] / absorbed[2] == pytest.approx(np.exp(-2 * 4 * fade), rel=1e-6)
    assert found[0] > found[1] > found[2] > found[3] > 0


def test_bands_change_smoothly_over_the_edges_of_the_fit():
    steps = np.linspace(-0.02, 0.02, 41)
    for name, middle, others in (
        ("depth_mm", 8.0, {"diameter_mm": 3.0}),
        ("diameter_mm", 0.5, {"depth_mm": 1.0}),
        ("diameter_mm", 6.0, {"depth_mm": 1.0}),
        ("filling", 0.256, {"depth_mm": 1.0, "diameter_mm": 3.0}),
    ):
        found = shading.band(Skin(), "vein", **others, **{name: middle + steps})
        for values in found:
            assert np.abs(np.diff(values)).max() < 0.005 * values.max()


# ---- changes


def test_a_vein_without_blood_leaves_the_background():
    of = scene(straight())
    empty = Change(filling={"a": np.zeros(61)})
    assert picture.light(of, empty) == pytest.approx(picture.background(of), abs=1e-6)
    assert picture.light(of, Change(filling={"a": np.ones(61)})) == pytest.approx(
        picture.light(of), abs=1e-6
    )


def test_more_blood_is_darker_and_only_where_it_is():
    of = scene(straight())
    darkest = [
        picture.shade(of, Change(filling={"a": np.full(61, share)})).max()
        for share in np.linspace(0, 1, 9)
    ]
    assert (np.diff(darkest) > 0).all()
    half = np.where(of.anatomy.vessels[0].y_mm > 0, 1.0, 0.0)
    found = picture.shade(of, Change(filling={"a": half}))[:, 80]
    rows = geometry.to_skin(SMALL, np.full(120, 79.5), np.arange(120))[1]
    # skin blurs along the vein as it does across
    assert found[rows > 8].min() > 0.95 * darkest[-1]
    assert found[rows < -12].max() < 0.001 * darkest[-1]
    assert np.diff(found).min() > -0.001


def test_a_vein_that_moves_takes_its_band_along():
    of = scene(straight())
    moved = Change(vessels=(straight(x_mm=5.0),))
    found = picture.shade(of, moved)
    assert found[:, 20:] == pytest.approx(picture.shade(of)[:, :-20], abs=0.002)


def test_swelling_fades_the_veins_under_it_and_brightens_a_little():
    of = scene(straight())
    change = Change(swellings=(Swelling(0, 0, 12, 3),))
    before, after = picture.shade(of), picture.shade(of, change)
    expected = calc.skin_vein_contrast(
        5.0,
        lumen_diameter_mm=3.0,
        picture_wavelength_nm=850.0,
        epidermal_melanin_fraction=0.05,
    )
    assert after[60, 80] == pytest.approx(expected, rel=0.03)
    assert after[2, 80] == pytest.approx(before[2, 80], rel=1e-3)
    bare = scene()
    ratio = picture.light(bare, change)[60, 80] / picture.background(bare)[60, 80]
    assert ratio == pytest.approx((220 / 217) ** 2, rel=0.002)


def test_a_pool_of_blood_darkens_the_more_the_thicker_and_the_shallower():
    def darkest(**pool):
        return picture.shade(scene(), Change(pools=(BloodPool(0, 0, 10, **pool),))).max()

    by_thickness = [darkest(depth_mm=2, thickness_mm=t) for t in (0, 0.1, 0.5, 1, 2, 4)]
    by_depth = [darkest(depth_mm=z, thickness_mm=2) for z in (1, 2, 4, 8, 12)]
    assert by_thickness[0] == 0
    assert (np.diff(by_thickness) >= 0).all()
    assert by_thickness[0] < by_thickness[1] < by_thickness[2]
    assert (np.diff(by_depth) < 0).all()
    # more than one vein as thick as it: there is blood on either side too
    one = picture.shade(scene(straight(depth_mm=2, diameter_mm=2))).max()
    assert darkest(depth_mm=2, thickness_mm=2) > one


# ---- room, focus, tilt, turn, motion


@pytest.mark.parametrize("room", [0.2, 0.7])
def test_contrast_falls_with_the_share_of_room_light(room):
    dark = contrast(scene(straight()))
    bright = contrast(scene(straight(), view=dataclasses.replace(SMALL, room_light_share=room)))
    assert bright == pytest.approx((1 - room) * dark, abs=1e-4)


def test_the_edge_of_the_window_is_just_sharp():
    profile = tables.profile()
    near = profile.working_distance_mm - profile.window_mm
    blur = calc.blur_circle_mm(
        near,
        focus_distance_mm=profile.working_distance_mm,
        focal_length_mm=tables.constant("view-focal-length").value,
        f_number=optics.f_number(),
    )
    assert blur == pytest.approx(tables.constant("view-circle-of-confusion").value, rel=1e-9)


def test_focus_only_spreads():
    rng = np.random.default_rng(1)
    sharp = rng.random((120, 160), np.float32)
    for distance in (220.0, 300.0, 400.0):
        found = optics.Focus.of(SMALL, np.full((120, 160), distance)).blur(sharp)
        assert found.mean() == pytest.approx(sharp.mean(), rel=0.005)
        assert found.min() >= sharp.min()
        assert found.max() <= sharp.max()


@pytest.mark.parametrize("distance", [260.0, 400.0])
def test_a_point_out_of_focus_spreads_as_the_lens_says(distance):
    dot = np.zeros((61, 61), np.float32)
    dot[30, 30] = 1
    found = optics.Focus.of(View(61, 61), np.full((61, 61), distance)).blur(dot)
    places = np.arange(61) - 30
    variance = (found.sum(axis=0) * places**2).sum()
    # a blur circle of diameter b has the variance b^2 / 16 along each side; on the sensor
    on_sensor = calc.blur_circle_mm(
        distance, focus_distance_mm=220, focal_length_mm=8, f_number=optics.f_number()
    )
    pixel_mm = 0.2 * 8 / (220 - 8)
    spot = tables.constant("picture-lens-spot").value
    assert variance == pytest.approx((on_sensor / pixel_mm) ** 2 / 16 + spot**2, rel=0.05)


def test_focus_varies_over_a_tilted_picture():
    focus = optics.Focus.of(
        View(),
        optics.relief(
            View(tilt_deg=60), FLAT, *np.meshgrid(np.linspace(-60, 60, 640), np.zeros(480))
        ).distance_mm,
    )
    line = np.zeros((480, 640), np.float32)
    line[:, ::16] = 1
    found = focus.blur(line)[240]
    assert found[320] > 1.3 * found[16]
    assert found[320] > 1.3 * found[624]


def test_hair_blurs_away_out_of_focus_and_a_vein_does_not():
    skin = Skin(hairs_per_cm2=5, texture_share=0)
    near, far = (
        scene(straight(), skin=skin, view=View(160, 120, 0.25 * 220 / d, distance_mm=float(d)))
        for d in (220, 420)
    )
    roughness = [
        np.abs(np.diff(picture.background(of) / picture.background(of).mean())).mean()
        for of in (near, far)
    ]
    assert roughness[1] < 0.5 * roughness[0]
    bare = [scene(straight(), view=of.view) for of in (near, far)]
    assert contrast(bare[1]).max() == pytest.approx(contrast(bare[0]).max(), rel=0.05)


def test_focus_alone_leaves_place_and_brightness():
    skin = Skin(hairs_per_cm2=5, texture_share=0)
    sharp = scene(straight(depth_mm=0.5, diameter_mm=1.0), skin=skin)
    blurred = dataclasses.replace(sharp, camera=dataclasses.replace(STILL, focus_mm=120.0))
    before, after = picture.light(sharp), picture.light(blurred)
    assert after.mean() == pytest.approx(before.mean(), rel=0.005)
    assert np.abs(np.diff(after)).mean() < 0.5 * np.abs(np.diff(before)).mean()
    middle = [np.abs(light.mean(axis=0).argmin() - 79.5) for light in (before, after)]
    assert middle == pytest.approx([0, 0], abs=2)
    bare = [contrast(dataclasses.replace(of, skin=EVEN)) for of in (sharp, blurred)]
    assert bare[1].max() < 0.9 * bare[0].max()
    assert bare[1].sum() == pytest.approx(bare[0].sum(), rel=0.01)


def test_tilt_draws_a_picture_together_by_its_stretch():
    between = []
    for tilt in (0, 30):
        of = scene(
            straight("a", -10, 0.5, 1.0),
            straight("b", 10, 0.5, 1.0),
            view=View(320, 64, 0.1, tilt_deg=tilt),
        )
        dark = contrast(of)
        left, right = dark[:160].argmax(), 160 + dark[160:].argmax()
        between.append(right - left)
    assert between[0] / between[1] == pytest.approx(calc.tilt_stretch(30), rel=0.015)


def test_a_turn_of_the_camera_turns_the_picture():
    view = View(128, 128, 0.25)
    skin = Skin(hairs_per_cm2=3)
    vessels = straight("a", 4), straight("b", -8, 1.0, 2.0)
    upright, turned = (
        picture.light(
            scene(*vessels, skin=skin, view=dataclasses.replace(view, turn_deg=turn), seed=3)
        )
        for turn in (0, 90)
    )
    # x to the right and y downwards in the picture: a turn leads right to down
    assert turned == pytest.approx(np.rot90(upright, -1), abs=0.002)
    assert np.abs(turned - upright).max() > 0.05


def test_motion_smears_across_and_not_along():
    of = scene(straight(diameter_mm=1.0, depth_mm=0.5))
    widths = []
    for direction in (0, 90):
        camera = dataclasses.replace(STILL, motion_px=24, motion_deg=direction)
        dark = contrast(dataclasses.replace(of, camera=camera))
        widths.append((dark > dark.max() / 2).sum())
    still = contrast(of)
    assert widths[1] == (still > still.max() / 2).sum()
    assert widths[0] > 1.5 * widths[1]


def test_motion_keeps_the_light():
    dot = np.zeros((41, 41), np.float32)
    dot[20, 20] = 1
    for direction in (0, 37, 90):
        found = optics.smeared(dot, Camera(motion_px=10, motion_deg=direction))
        assert found.sum() == pytest.approx(1, abs=1e-5)
        # an even line of length n has the variance n^2 / 12; elements share 1 / 6 or less each
        places = np.arange(41) - 20
        spread = (found.sum(axis=0) * places**2).sum() + (found.sum(axis=1) * places**2).sum()
        assert spread == pytest.approx(100 / 12, abs=0.4)


# ---- chance


def test_the_same_seed_gives_the_same_bytes_and_another_does_not():
    skin, camera = Skin(hairs_per_cm2=3), Camera()
    first, again, other = (
        picture.frame(scene(straight(), skin=skin, camera=camera, seed=seed)).tobytes()
        for seed in (5, 5, 6)
    )
    assert first == again != other


def test_noise_has_no_mean_and_the_variance_of_counted_light():
    camera = Camera(noise_share=0.03, fall_off=0)
    for melanin in (0.01, 0.3):
        of = scene(skin=Skin(melanin_fraction=melanin, texture_share=0), camera=camera)
        level = float(picture.brightness(of.skin))
        noise = np.array([picture.frame(of, number=n) for n in range(8)]) / 255 - level
        expected = camera.noise_share**2 * level + 1 / 12 / 255**2  # and that of whole numbers
        n = noise.size
        assert noise.mean() == pytest.approx(0, abs=4 * np.sqrt(expected / n))
        assert noise.var() == pytest.approx(expected, rel=4 * np.sqrt(2 / n))
        # white in place and from frame to frame
        for shifted in (noise[:, :, 1:] * noise[:, :, :-1], noise[1:] * noise[:-1]):
            assert abs(shifted.mean()) < 4 * expected / np.sqrt(shifted.size)


def test_texture_is_as_uneven_as_asked_and_stays_with_the_skin():
    skin = Skin(texture_share=0.03)
    view = View(256, 256, mm_per_px=0.5)
    x, y = geometry.to_skin(view, *np.meshgrid(np.arange(256.0), np.arange(256.0)))
    spreads = [texture.uneven(scene(skin=skin, seed=seed), x, y).std() for seed in range(12)]
    assert np.mean(spreads) == pytest.approx(0.03, rel=0.06)
    moved = dataclasses.replace(view, centre_mm=(10.0, 5.0))
    here, there = (
        picture.background(scene(skin=skin, view=v, camera=STILL)) for v in (view, moved)
    )
    assert there[20:-40, 20:-40] == pytest.approx(here[30:-30, 40:-20], abs=1e-4)


def test_hair_covers_what_its_number_and_size_say():
    length, width = (tables.constant(key).value for key in ("hair-length", "hair-width"))
    skin = Skin(hairs_per_cm2=8, texture_share=0)
    found = [
        np.log(texture.hair(scene(skin=skin, view=View(), seed=seed))).mean() for seed in range(4)
    ]
    dark = np.log(1 - tables.constant("hair-darkness").value)
    # mean of the widths 0.8 of the width; tapering to the tip from half way on leaves 3 / 4
    expected = 0.08 * length * 0.8 * width * 0.75 * dark
    assert np.mean(found) == pytest.approx(expected, rel=0.1)


# ---- ranges


@pytest.mark.parametrize(
    ("part", "values", "words"),
    [
        ("skin", {"melanin_fraction": 0.6}, "melanin fraction of the epidermis is 0.6"),
        ("skin", {"wavelength_nm": 500.0}, "wavelength of the picture is 500 nm"),
        ("skin", {"hairs_per_cm2": -1}, "number of hairs is -1"),
        ("skin", {"texture_share": float("nan")}, "unevenness of the skin"),
        ("view", {"width_px": 2}, "width of the picture is 2 px"),
        ("view", {"mm_per_px": 0.0}, "size of a picture element on the skin is 0 mm"),
        ("view", {"tilt_deg": 90}, "tilt"),
        ("view", {"room_light_share": 1.0}, "share of the light that comes from the room is 1"),
        ("view", {"distance_mm": 5.0}, "distance of the camera from the skin is 5 mm"),
        ("camera", {"noise_share": -0.1}, "noise of a picture element"),
        ("camera", {"fall_off": 1.0}, "loss of light at the picture's corners is 1"),
        ("camera", {"focus_mm": 5.0}, "distance at which the camera is sharp is 5 mm"),
        ("camera", {"motion_px": 500}, "smear during one exposure is 500 px"),
    ],
)
def test_impossible_scenes_raise(part, values, words):
    of = scene()
    wrong = dataclasses.replace(of, **{part: dataclasses.replace(getattr(of, part), **values)})
    with pytest.raises(ValueError, match=words):
        picture.frame(wrong)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (Change(filling={"a": np.full(61, 1.2)}), "share of blood in a vessel is 1.2"),
        (Change(swellings=(Swelling(0, 0, 0, 2),)), "radius of a swelling"),
        (Change(pools=(BloodPool(0, 0, 5, 2, -1),)), "thickness of a pool of blood is -1 mm"),
        (Change(vessels=(straight(depth_mm=-1),)), "depth of a vessel's upper wall is -1 mm"),
    ],
)
def test_impossible_changes_raise(change, words):
    with pytest.raises(ValueError, match=words):
        picture.shade(scene(straight()), change)


def test_impossible_vessels_raise():
    with pytest.raises(ValueError, match="inner diameter of a vessel is 30 mm"):
        picture.shade(scene(straight(diameter_mm=30)))
