"""How a pattern of veins grows: each new vein keeps its distance and joins at a natural angle.

Simulated, not clinically validated.
"""

from dataclasses import dataclass, field

import numpy as np

from cubital.scene.anatomy.courses import (
    STEP_MM,
    bent,
    evenly,
    slow,
    tangent,
    turned,
    turns_at_most,
)
from cubital.scene.anatomy.vessels import Limb

COARSE = 4  # every so many points are looked at when distances are kept
OUTLINE_SHARE = 0.96  # of the half width, where a vein comes round the limb's edge
LINK_GAPS = 2.4  # between the ends of links, so that they make no ladder
OPENING = 0.42  # least distance over the way from a shared confluence
MOST_TURN_DEG = 75.0  # within MOST_TURN_OVER of the half width
MOST_TURN_OVER = 0.25


def _some(points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return some points of a way, both ends among them, and how far along they are [mm]."""
    index = np.append(np.arange(0, len(points) - 1, COARSE), len(points) - 1)
    return points[index], index * STEP_MM


@dataclass(eq=False)
class Course:
    """A vein's way, its hosts at both ends, and its diameter as a share of a main vein's."""

    key: str
    points: np.ndarray
    share: float
    into: str | None = None
    into_index: int = -1
    out_of: str | None = None
    out_index: int = -1
    rises: bool = False  # it comes up from the depth at its start


@dataclass(eq=False)
class Growing:
    """A pattern of veins while it grows."""

    rng: np.random.Generator
    limb: Limb
    half_length_mm: float
    gap_mm: float
    courses: dict[str, Course] = field(default_factory=dict)
    junctions: dict[str, list[int]] = field(default_factory=dict)
    wobble: float = 0.02
    _few: np.ndarray = field(default_factory=lambda: np.empty((2, 0)))  # some points of all courses
    _columns: dict[str, slice] = field(default_factory=dict)  # whose they are

    @property
    def wide(self) -> float:
        """Half the limb's width in the middle of the site [mm]."""
        return self.limb.half_width_mm

    def place(self, u: float, y: float) -> np.ndarray:
        """Return a place by its share of the half width and its way along the limb."""
        return np.array([u * float(self.limb.half_width_at_mm(y)), y])

    def add(self, course: Course) -> str:
        """Keep a course and its junctions."""
        self.courses[course.key] = course
        few, known = _some(course.points)[0].T, self._few.shape[1]
        self._columns[course.key] = slice(known, known + few.shape[1])
        self._few = np.concatenate([self._few, few], axis=1)
        self.junctions.setdefault(course.key, [])
        if course.into is not None:
            self.junctions[course.into].append(course.into_index)
        if course.out_of is not None:
            self.junctions[course.out_of].append(course.out_index)
        return course.key

    def free(self, course: Course) -> bool:
        """Tell whether a course stays on the limb, turns gently and keeps its distances."""
        points = course.points
        x, y = points.T
        if (np.abs(x) > 0.975 * self.limb.half_width_at_mm(y)).any():
            return False
        if (np.abs(y) > self.half_length_mm + STEP_MM).any():
            return False
        if not turns_at_most(points, MOST_TURN_DEG, MOST_TURN_OVER * self.wide):
            return False
        few, from_start = _some(points)
        from_end = from_start[-1] - from_start
        if not self.courses:
            return True
        squares = (few[:, :1] - self._few[0]) ** 2 + (few[:, 1:] - self._few[1]) ** 2
        for host, way in ((course.into, from_end), (course.out_of, from_start)):
            if host is None:
                continue
            columns = self._columns[host]
            need = np.clip(OPENING * way - STEP_MM, 0, self.gap_mm)
            if (squares[:, columns].min(axis=1) < need**2).any():
                return False
            squares[:, columns] = np.inf
        return bool(squares.min() >= self.gap_mm**2)

    def trunk(self, key: str, u_far: float, u_near: float, share: float, *, sway: float) -> bool:
        """Try to add a vein along the whole site, from the hand's side to the heart's."""
        reach = self.half_length_mm
        for _ in range(12):
            y = np.arange(reach, -reach - 0.25, -1.0)
            along = (reach - y) / (2 * reach)
            jitter = self.rng.normal(0, 0.04, 2)
            u = (u_far + jitter[0]) * (1 - along) + (u_near + jitter[1]) * along
            u += 0.6 * sway * slow(self.rng, y, 0.9 * reach)
            u += 0.8 * self.wobble * slow(self.rng, y, max(0.5 * reach, 0.7 * self.wide))
            x = u * self.limb.half_width_at_mm(y)
            course = Course(key, evenly(np.stack([x, y], axis=1)), share)
            if self.free(course):
                self.add(course)
                return True
        return False

    def _sites(self, host: str, y_low: float, y_high: float, gaps: float = 1.3) -> np.ndarray:
        """Return the indices of a host where another vein may join, so many gaps from others."""
        points = self.courses[host].points
        index = np.arange(len(points))
        clear = round(gaps * self.gap_mm / STEP_MM)
        good = (points[:, 1] > y_low) & (points[:, 1] < y_high)
        good &= (index >= clear) & (index < len(points) - clear)
        for taken in self.junctions[host]:
            good &= np.abs(index - taken) >= clear
        return index[good]

    def _at_a_bend(self, host: str, sites: np.ndarray, start: np.ndarray) -> int:
        """Choose where to join: rather where the host bends towards the vein that joins."""
        points = self.courses[host].points
        reach = round(0.35 * self.wide / STEP_MM)
        before = points[np.maximum(sites - reach, 0)]
        after = points[np.minimum(sites + reach, len(points) - 1)]
        out = points[sites] - (before + after) / 2
        towards = start - points[sites]
        towards /= np.hypot(*towards.T)[:, None]
        bend = (out * towards).sum(axis=1)
        weight = np.exp(2.5 * np.clip(bend / (0.04 * self.wide), -1, 1))
        return int(self.rng.choice(sites, p=weight / weight.sum()))

    def tributary(
        self,
        key: str,
        host: str,
        share: float,
        *,
        start_u: tuple[float, float],
        start_y: tuple[float, float],
        join_y: tuple[float, float],
        tries: int = 6,
    ) -> bool:
        """Try to add a vein that starts at the site's edge and joins a host.

        `start_y` above the half length stands for the edge towards the hand; a `start_u` beyond
        the outline for the limb's side.
        """
        points = self.courses[host].points
        for _ in range(tries):
            u = self.rng.uniform(*start_u)
            at_side = abs(u) > 0.9
            u = float(np.sign(u)) * OUTLINE_SHARE if at_side else u
            start = self.place(u, min(self.rng.uniform(*start_y), self.half_length_mm))
            ahead = 0.7 * self.gap_mm
            sites = self._sites(host, join_y[0], min(join_y[1], start[1] - ahead))
            if not sites.size:
                continue
            index = self._at_a_bend(host, sites, start)
            end, flow = points[index], tangent(points, index)
            if not at_side and abs(start[0] - end[0]) > 0.7 * (start[1] - end[1]):
                continue  # would run across the limb
            aside = float(np.sign(flow[0] * (start - end)[1] - flow[1] * (start - end)[0]))
            arriving = turned(flow, -aside * self.rng.uniform(28, 55))
            if at_side:
                leaving = turned(np.array([0.0, -1.0]), -np.sign(u) * self.rng.uniform(20, 60))
            else:
                leaving = turned(np.array([0.0, -1.0]), self.rng.uniform(-15, 15))
            way = bent(self.rng, start, leaving, end, arriving, wobble_mm=self.wobble * self.wide)
            course = Course(key, way, share, into=host, into_index=index, rises=at_side)
            if self.free(course):
                self.add(course)
                return True
        return False

    def link(
        self,
        key: str,
        source: str,
        host: str,
        share: float,
        *,
        leave_y: tuple[float, float],
        drop: tuple[float, float],
        angle: tuple[float, float] = (25, 55),
        gaps: float = LINK_GAPS,
        tries: int = 8,
    ) -> bool:
        """Try to add a vein that leaves one vein and joins another further towards the heart.

        `drop` is how much further along the limb it joins, over the distance across.
        """
        here, there = self.courses[source].points, self.courses[host].points
        for _ in range(tries):
            sites = self._sites(source, *leave_y, gaps)
            if not sites.size:
                return False
            out = int(self.rng.choice(sites))
            start, flow = here[out], tangent(here, out)
            across = np.abs(there[np.abs(there[:, 1] - start[1]).argmin(), 0] - start[0])
            aim = start[1] - self.rng.uniform(*drop) * across
            ends = self._sites(host, aim - 2.0, aim + 2.0, gaps)
            if not ends.size:
                continue
            index = self._at_a_bend(host, ends, start)
            end, flow_there = there[index], tangent(there, index)
            aside = float(np.sign(flow[0] * (end - start)[1] - flow[1] * (end - start)[0]))
            leaving = turned(flow, aside * self.rng.uniform(*angle))
            arriving = turned(flow_there, aside * self.rng.uniform(*angle))
            way = bent(
                self.rng, start, leaving, end, arriving, wobble_mm=0.8 * self.wobble * self.wide
            )
            course = Course(key, way, share, host, index, source, out)
            if self.free(course):
                self.add(course)
                return True
        return False

    def outlet(
        self,
        key: str,
        source: str,
        share: float,
        *,
        leave_y: tuple[float, float],
        end_u: tuple[float, float],
        tries: int = 8,
    ) -> bool:
        """Try to add a vein that leaves another and leaves the site towards the heart."""
        here = self.courses[source].points
        for _ in range(tries):
            sites = self._sites(source, *leave_y)
            if not sites.size:
                return False
            out = int(self.rng.choice(sites))
            start, flow = here[out], tangent(here, out)
            end = self.place(self.rng.uniform(*end_u), -self.half_length_mm)
            aside = float(np.sign(flow[0] * (end - start)[1] - flow[1] * (end - start)[0]))
            leaving = turned(flow, aside * self.rng.uniform(25, 55))
            arriving = turned(np.array([0.0, -1.0]), self.rng.uniform(-12, 12))
            way = bent(self.rng, start, leaving, end, arriving, wobble_mm=self.wobble * self.wide)
            course = Course(key, way, share, out_of=source, out_index=out)
            if self.free(course):
                self.add(course)
                return True
        return False
