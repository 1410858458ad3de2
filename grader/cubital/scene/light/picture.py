"""What a near-infrared camera records of a simulated scene: grey frames, the same each time.

Vessels darken the skin as the calculations say (`shading`); lamp, limb, lens and room (`optics`),
unevenness and hair (`texture`), creases, moles and glare (`surface`) do the rest. Brightness is a
share of the camera's full scale. Room light is taken as even light that the skin's surface sends
back, so that it never met a vessel: the worst it can do.
Simulated, not clinically validated.
"""

import functools
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from cubital import calc, tables
from cubital.calc.shared.quantities import check
from cubital.calc.shared.units import Number
from cubital.scene.anatomy.vessels import Anatomy, Change, Limb, Line, Scene, Skin, View
from cubital.scene.chance import generator
from cubital.scene.light import geometry, optics, surface, texture
from cubital.scene.light.shading import Grid, Shading, dome_share
from cubital.scene.light.stamping import recorded

SKIN_PER_CENT = 90  # of all picture elements: skin among the brightest, which does not glare
GLARE_OVER = 1.25  # times that: what is brighter glares
KEPT = 3  # scenes whose unchanging parts are kept: a series takes one
PLACES_STEP_PX = 8  # places on the skin between are read off a smooth curve, to far below 1 um


class Still(NamedTuple):
    """What does not change between the frames of a scene.

    Light by which vessels show, light that never met them (room, surroundings), and focus; the
    places on the skin that the picture elements show [mm] and their distance [mm].
    """

    lit: np.ndarray
    even: np.ndarray
    focus: optics.Focus
    x_mm: np.ndarray
    y_mm: np.ndarray
    distance_mm: np.ndarray


class Ground(NamedTuple):
    """The limb's surface by picture element: places on it [mm], relief, unevenness, hair [-]."""

    x_mm: np.ndarray
    y_mm: np.ndarray
    relief: optics.Relief
    uneven: np.ndarray
    hair: np.ndarray


def brightness(skin: Skin) -> float:
    """Return the brightness of square, even skin without vessels at the working distance.

    As a share of the camera's full scale; pale skin is brighter, for nothing adapts to it.

    Examples
    --------
    >>> brightness(Skin(melanin_fraction=0.02)) > brightness(Skin(melanin_fraction=0.3)) > 0.05
    True
    """
    share = calc.skin_brightness_share(
        skin.wavelength_nm, epidermal_melanin_fraction=skin.melanin_fraction
    )
    return tables.constant("picture-exposure").value * share


def shade(scene: Scene, change: Change | None = None) -> np.ndarray:
    """Return the share of light that vessels take, by picture element, before lens and room.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb
    >>> float(shade(Scene(Anatomy("none", "adult", 1, Limb(40), ()))).max())
    0.0
    """
    check_change(change)
    return _shading(scene).share(change)


def light(scene: Scene, change: Change | None = None) -> np.ndarray:
    """Return the brightness that the sensor meets, without noise: a share of full scale.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb
    >>> bare = Scene(Anatomy("none", "adult", 1, Limb(60), ()))
    >>> middle = light(bare)[200:280, 280:360].mean()
    >>> bool(abs(middle / brightness(bare.skin) - 1) < 0.05)
    True
    """
    return _seen(scene, shade(scene, change), change)


def background(scene: Scene) -> np.ndarray:
    """Return the same brightness without vessels.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb
    >>> background(Scene(Anatomy("none", "adult", 1, Limb(60), ()))).shape
    (480, 640)
    """
    return _seen(scene, None, None)


def frame(scene: Scene, *, number: int = 0, change: Change | None = None) -> np.ndarray:
    """Return one grey frame of 8 bits, with the noise of that number.

    Noise grows as the square root of brightness, as that of counted photons.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb
    >>> bare = Scene(Anatomy("none", "adult", 1, Limb(60), ()))
    >>> first, again, second = (frame(bare, number=n) for n in (0, 0, 1))
    >>> bool((first == again).all()), bool((first == second).all())
    (True, False)
    """
    return exposed(scene, light(scene, change), number=number)


def exposed(scene: Scene, clean: np.ndarray, *, number: int = 0) -> np.ndarray:
    """Return the grey frame of 8 bits that the scene's camera makes of such light.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb
    >>> bare = Scene(Anatomy("none", "adult", 1, Limb(60), ()))
    >>> frame = exposed(bare, np.full((200, 200), 0.6, np.float32))
    >>> bool(abs(frame.mean() / 153 - 1) < 0.001), frame.dtype.name
    (True, 'uint8')
    """
    chance = generator("noise", scene.seed, int(check("frame_number", number)))
    noise = chance.standard_normal(clean.shape, np.float32)
    return recorded(clean, noise, scene.camera.noise_share)


@functools.lru_cache(maxsize=KEPT)
def _shading(scene: Scene) -> Shading:
    check_scene(scene)
    skin = replace(scene.skin, hairs_per_cm2=0.0, texture_share=0.0)
    return _laid(scene.anatomy, skin, replace(scene.view, room_light_share=0.0))


@functools.lru_cache(maxsize=KEPT)
def _laid(anatomy: Anatomy, skin: Skin, view: View) -> Shading:
    """Return the vessels laid on a picture: hair, room and camera change nothing of it."""
    return Shading(Scene(anatomy, skin, view))


@functools.lru_cache(maxsize=KEPT)
def _still(scene: Scene) -> Still:
    check_scene(scene)
    view, usual = scene.view, Skin()
    bare = replace(
        scene.skin, melanin_fraction=usual.melanin_fraction, wavelength_nm=usual.wavelength_nm
    )
    ground = _ground(scene.anatomy.limb, bare, replace(view, room_light_share=0.0), scene.seed)
    seen, hair = ground.relief, ground.hair
    skin = brightness(scene.skin) * ground.uneven * seen.cover
    if scene.surface:
        skin = skin * on_surface(scene)
    beyond = brightness(usual) * tables.constant("picture-surroundings").value * (1 - seen.cover)
    room = view.room_light_share
    lamp = (1 - room) * optics.lamp(view, scene.camera, seen)
    lit, even = lamp * skin * hair, (lamp * beyond + room * (skin + beyond)) * hair
    if scene.surface:
        even = even + (1 - room) * glare(scene) * seen.cover * hair
    return Still(
        lit.astype(np.float32),
        even.astype(np.float32),
        optics.Focus.of(view, seen.distance_mm, focus_mm=scene.camera.focus_mm),
        ground.x_mm,
        ground.y_mm,
        seen.distance_mm,
    )


@functools.lru_cache(maxsize=KEPT)
def _places(view: View) -> tuple[np.ndarray, np.ndarray]:
    """Return the places on the skin that the picture elements show [mm]."""
    grid = Grid.of(view, PLACES_STEP_PX)
    return grid.enlarged(grid.x_mm), grid.enlarged(grid.y_mm)


def on_surface(scene: Scene) -> np.ndarray:
    """Return the light that creases, tendons, moles and scars leave or add, by picture element [-].

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb, Line
    >>> fold = Line("crease", (-20.0, 20.0), (0.0, 0.0), (0.1, 0.1), 0.6)
    >>> scene = Scene(Anatomy("none", "adult", 1, Limb(60), ()), surface=(fold,))
    >>> round(float(on_surface(scene).min()), 2)
    0.9
    """
    return _on_surface(scene.surface, replace(scene.view, room_light_share=0.0))


def glare(scene: Scene) -> np.ndarray:
    """Return the light that moist skin adds, by picture element: a share of full scale.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb
    >>> float(glare(Scene(Anatomy("none", "adult", 1, Limb(60), ()))).max())
    0.0
    """
    return _glare(scene.surface, replace(scene.view, room_light_share=0.0), scene.seed)


@functools.lru_cache(maxsize=KEPT)
def _glare(lines: tuple[Line, ...], view: View, seed: int) -> np.ndarray:
    if not any(line.kind in surface.ADDED for line in lines):
        return np.zeros((view.height_px, view.width_px), np.float32)
    return surface.added(lines, view, *_places(view), texture.tile(seed))


def skin_top(light: np.ndarray) -> float:
    """Return how bright the brightest skin of a picture is that does not glare [-].

    Examples
    --------
    >>> light = np.full((100, 100), 0.4)
    >>> light[:8, :8] = 1.0
    >>> round(skin_top(light), 2)
    0.5
    """
    most = GLARE_OVER * float(np.percentile(light, SKIN_PER_CENT))
    return min(most, float(light.max()))


@functools.lru_cache(maxsize=KEPT)
def _on_surface(lines: tuple[Line, ...], view: View) -> np.ndarray:
    return surface.share(lines, view, *_places(view))


@functools.lru_cache(maxsize=KEPT)
def _ground(limb: Limb, skin: Skin, view: View, seed: int) -> Ground:
    """Return the limb's surface as the camera sees it: veins, room and focus change nothing."""
    scene = Scene(Anatomy("bare", "any", 0, limb, ()), skin, view, seed=seed)
    x, y = _places(view)
    seen = optics.relief(view, limb, x, y)
    return Ground(x, y, seen, texture.uneven(scene, x, y), texture.hair(scene))


def _seen(scene: Scene, taken: np.ndarray | None, change: Change | None) -> np.ndarray:
    still = _still(scene)
    lit = still.lit
    if change is not None and change.swellings:
        lit = lit * _raised(still, change)
    met = lit + still.even if taken is None else lit * (1 - taken) + still.even
    found = optics.smeared(still.focus.blur(met), scene.camera)
    return np.minimum(found, np.float32(1)) if scene.surface else found  # glare saturates


def _raised(still: Still, change: Change) -> np.ndarray:
    """Return how much brighter skin is over swellings: nearer to the lamp, and aslant."""
    height, across, along = np.zeros((3, *still.x_mm.shape))
    for dome in change.swellings:
        x, y = still.x_mm - dome.x_mm, still.y_mm - dome.y_mm
        height += dome.rise_mm * dome_share(dome, still.x_mm, still.y_mm)
        inner = np.maximum(1 - (x**2 + y**2) / dome.radius_mm**2, 0)
        fall = -4 * dome.rise_mm * inner / dome.radius_mm**2  # 4: derivative of the dome's square
        across += fall * x
        along += fall * y
    nearer = still.distance_mm / np.maximum(still.distance_mm - height, 1)
    return (nearer**2 / np.sqrt(1 + across**2 + along**2)).astype(np.float32)


@functools.lru_cache(maxsize=KEPT)
def check_scene(scene: Scene) -> None:
    """Raise ValueError if anything of a scene is beyond its range.

    Examples
    --------
    >>> from cubital.scene.anatomy.vessels import Anatomy, Limb
    >>> check_scene(Scene(Anatomy("none", "adult", 1, Limb(60), ()), Skin(hairs_per_cm2=-1)))
    Traceback (most recent call last):
    ValueError: number of hairs is -1 1/cm2: it must be from 0 to 100 1/cm2
    """
    skin, view, camera = scene.skin, scene.view, scene.camera
    quantities: dict[str, Number] = {
        "epidermal_melanin_fraction": skin.melanin_fraction,
        "picture_wavelength_nm": skin.wavelength_nm,
        "hairs_per_cm2": skin.hairs_per_cm2,
        "texture_share": skin.texture_share,
        "picture_width_px": view.width_px,
        "picture_height_px": view.height_px,
        "picture_scale_mm_per_px": view.mm_per_px,
        "picture_turn_deg": view.turn_deg,
        "tilt_deg": view.tilt_deg,
        "room_light_share": view.room_light_share,
        "camera_distance_mm": geometry.distance_mm(view),
        "camera_noise_share": camera.noise_share,
        "light_fall_off": camera.fall_off,
        "motion_smear_px": camera.motion_px,
        "motion_direction_deg": camera.motion_deg,
    }
    if camera.focus_mm is not None:
        quantities["camera_focus_mm"] = camera.focus_mm
    for quantity, value in quantities.items():
        check(quantity, value)
    _check_vessels(scene.anatomy.vessels)


def _check_vessels(vessels: tuple) -> None:
    for vessel in vessels:
        check("scene_vessel_depth_mm", vessel.depth_mm)
        check("scene_vessel_diameter_mm", vessel.diameter_mm)


def check_change(change: Change | None) -> None:
    """Raise ValueError if anything that an event changes is beyond its range.

    Examples
    --------
    >>> check_change(Change(filling={"a": np.array([2.0])}))
    Traceback (most recent call last):
    ValueError: share of blood in a vessel is 2: it must be from 0 to 1
    """
    if change is None:
        return
    _check_vessels(change.vessels)
    for filling in change.filling.values():
        check("filling_share", filling)
    for dome in change.swellings:
        check("dome_radius_mm", dome.radius_mm)
        check("dome_rise_mm", dome.rise_mm)
    for pool in change.pools:
        check("dome_radius_mm", pool.radius_mm)
        check("blood_pool_depth_mm", pool.depth_mm)
        check("blood_pool_thickness_mm", pool.thickness_mm)
