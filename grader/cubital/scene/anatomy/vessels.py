"""What a scene is made of: vessels with depth and diameter along them, valves, confluences, skin.

Places are in millimetres on the skin, x to the right and y towards the hand or the toes, from the
middle of the site; the heart is towards negative y. Depth is that of the upper wall below the skin.
Simulated, not clinically validated.
"""

from dataclasses import dataclass, field

import numpy as np


@dataclass(frozen=True, eq=False)
class Vessel:
    """A vessel by points along its middle, in the direction of flow [mm].

    Examples
    --------
    >>> ends = {"x_mm": [0, 0], "y_mm": [30, 0], "depth_mm": [1, 2], "diameter_mm": [2, 3]}
    >>> Vessel("a", "vein", **{k: np.array(v, float) for k, v in ends.items()}).length_mm
    30.0
    """

    key: str
    kind: str  # "vein" or "artery"
    x_mm: np.ndarray
    y_mm: np.ndarray
    depth_mm: np.ndarray
    diameter_mm: np.ndarray
    into: str | None = None  # the vessel it joins at its last point
    out_of: str | None = None  # the vessel it leaves at its first point

    @property
    def along_mm(self) -> np.ndarray:
        """Way along the middle from the first point to each [mm]."""
        steps = np.hypot(np.diff(self.x_mm), np.diff(self.y_mm))
        return np.concatenate([[0.0], np.cumsum(steps)])

    @property
    def length_mm(self) -> float:
        """Way along the middle from the first point to the last [mm]."""
        return float(self.along_mm[-1])

    def at(self, along_mm: float) -> tuple[float, float, float, float]:
        """Return place, depth and diameter at a way along the middle [mm]."""
        columns = self.x_mm, self.y_mm, self.depth_mm, self.diameter_mm
        return tuple(float(np.interp(along_mm, self.along_mm, column)) for column in columns)


@dataclass(frozen=True)
class Valve:
    """A valve, at a way along a vein [mm]."""

    vessel: str
    along_mm: float


@dataclass(frozen=True)
class Confluence:
    """Where a vein joins another, which to the hand is a bifurcation [mm]."""

    x_mm: float
    y_mm: float
    joining: str
    joined: str


@dataclass(frozen=True)
class Limb:
    """The limb's outline and roundness: a cone with its axis along y [mm].

    The half width falls evenly from `half_width_mm` at y = 0 by `taper` per mm towards the hand.
    The skin lies `sag_mm` below its crest at the edge (a half ellipse across).
    """

    half_width_mm: float
    taper: float = 0.0
    sag_mm: float = 20.0

    def half_width_at_mm(self, y_mm: np.ndarray) -> np.ndarray:
        """Return half the limb's width at a place along it [mm]."""
        return np.maximum(self.half_width_mm - self.taper * np.asarray(y_mm, float), 1.0)

    def drop_mm(self, x_mm: np.ndarray, y_mm: np.ndarray) -> np.ndarray:
        """Return how far the skin lies below its crest [mm]; `sag_mm` beyond the edge."""
        across = np.clip(np.abs(x_mm) / self.half_width_at_mm(y_mm), 0, 1)
        return self.sag_mm * (1 - np.sqrt(1 - across**2))


@dataclass(frozen=True)
class Line:
    """A line on the skin by points along it [mm], and how strong it is at each [-].

    `spread_mm` is how far it reaches to the side: that of a normal curve. Strength is the share of
    the light by which the middle of the line differs from even skin: a crease is darker by it, the
    ridge of a tendon lighter.

    Examples
    --------
    >>> Line("crease", (-10.0, 10.0), (0.0, 0.0), (0.05, 0.05), 0.5).kind
    'crease'
    """

    kind: str
    x_mm: tuple[float, ...]
    y_mm: tuple[float, ...]
    strength: tuple[float, ...]
    spread_mm: float


@dataclass(frozen=True, eq=False)
class Anatomy:
    """The vessels of one site of one simulated person."""

    site: str
    age_group: str
    seed: int
    limb: Limb
    vessels: tuple[Vessel, ...]
    valves: tuple[Valve, ...] = ()
    confluences: tuple[Confluence, ...] = ()

    def vessel(self, key: str) -> Vessel:
        """Return a vessel by its key."""
        for vessel in self.vessels:
            if vessel.key == key:
                return vessel
        known = ", ".join(vessel.key for vessel in self.vessels)
        raise KeyError(f"no vessel {key!r}: there are {known}")


@dataclass(frozen=True)
class Skin:
    """The skin, by what of it matters to light, and the light."""

    melanin_fraction: float = 0.05
    wavelength_nm: float = 850.0
    hairs_per_cm2: float = 0.0
    texture_share: float = 0.02  # uneven brightness of the skin itself, as a share [-]


@dataclass(frozen=True)
class View:
    """How the camera looks on: its picture, distance, tilt, turn and the room's light."""

    width_px: int = 640
    height_px: int = 480
    mm_per_px: float = 0.2  # on the skin at the working distance
    centre_mm: tuple[float, float] = (0.0, 0.0)
    turn_deg: float = 0.0  # about the line of sight
    tilt_deg: float = 0.0
    tilt_towards_deg: float = 0.0  # which way it leans: 0 along x, 90 along y
    distance_mm: float | None = None  # the profile's working distance if not given
    room_light_share: float = 0.0  # of the near-infrared that comes from the room, not the lamp


@dataclass(frozen=True)
class Camera:
    """What the camera itself adds: noise, fall-off of the light to the edges, motion."""

    noise_share: float = 0.01  # at full brightness, white, per pixel [-]
    fall_off: float = 0.25  # loss of light at the picture's corners [-]
    motion_px: float = 0.0  # smear during one exposure
    motion_deg: float = 0.0  # which way
    focus_mm: float | None = None  # distance at which it is sharp, if not the working distance


@dataclass(frozen=True)
class Swelling:
    """Fluid under the skin: a dome that pushes the veins deeper [mm]."""

    x_mm: float
    y_mm: float
    radius_mm: float
    rise_mm: float


@dataclass(frozen=True)
class BloodPool:
    """Blood outside the vein: a lens that darkens what lies over it [mm]."""

    x_mm: float
    y_mm: float
    radius_mm: float
    depth_mm: float
    thickness_mm: float


@dataclass(frozen=True, eq=False)
class Change:
    """What is different at one moment of a series from the scene at rest.

    `filling` gives, by vessel, the share of blood at each of its points: 1 as at rest, 0 for no
    blood, be it empty or full of clear fluid. `vessels` replaces vessels of the same key, as when
    one moves.
    """

    filling: dict[str, np.ndarray] = field(default_factory=dict)
    vessels: tuple[Vessel, ...] = ()
    swellings: tuple[Swelling, ...] = ()
    pools: tuple[BloodPool, ...] = ()


@dataclass(frozen=True, eq=False)
class Scene:
    """One picture to take: who, through which skin, how seen, with which camera and chance."""

    anatomy: Anatomy
    skin: Skin = field(default_factory=Skin)
    view: View = field(default_factory=View)
    camera: Camera = field(default_factory=Camera)
    seed: int = 0
    surface: tuple[Line, ...] = ()  # what the skin itself shows
