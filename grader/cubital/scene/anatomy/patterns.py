"""The patterns of veins at each site, from their main trunks to their small tributaries.

Places along the limb are shares of the site's half length, +1 towards the hand or toes; places
across are shares of the limb's half width. `side` is +1 or -1, for a right or a left limb.
Simulated, not clinically validated.
"""

from collections.abc import Callable
from itertools import pairwise

from cubital.scene.anatomy.branching import Growing


def _span(grow: Growing, low: float, high: float) -> tuple[float, float]:
    return low * grow.half_length_mm, high * grow.half_length_mm


def _across(side: float, low: float, high: float) -> tuple[float, float]:
    return (low * side, high * side) if side > 0 else (high * side, low * side)


def _small(grow: Growing, hosts: list[str], most: int, *, far: float = 0.75) -> None:
    """Add small tributaries here and there, from the limb's sides and from the hand's edge."""
    rng = grow.rng
    wanted = int(rng.integers(1, most + 1))
    for number in range(1, wanted + 1):
        host = str(rng.choice(hosts))
        middle = grow.courses[host].points[len(grow.courses[host].points) // 2, 0]
        share = float(rng.uniform(0.38, 0.62))
        join = rng.uniform(-0.85, 0.6)
        key = f"tributary-{number}"
        if abs(middle) > 0.25 * grow.wide and rng.random() < 0.6:
            side = 1.0 if middle > 0 else -1.0
            begin = _span(grow, min(join + 0.2, 0.9), min(join + 0.8, 1.0))
            u = _across(side, 0.93, 0.95)
        else:
            about = middle / grow.wide
            begin = _span(grow, 1.0, 1.1)
            u = (max(about - 0.45, -0.85), min(about + 0.45, 0.85))
            join = rng.uniform(0.0, far)
        ends = _span(grow, join - 0.25, join + 0.15)
        grow.tributary(key, host, share, start_u=u, start_y=begin, join_y=ends)


def forearm(grow: Growing, pattern: str, side: float) -> None:
    """Grow two or three long trunks with oblique links between them."""
    rng = grow.rng
    apart = rng.uniform(0.42, 0.62, 2)
    grow.trunk("cephalic", side * apart[0], side * apart[1], 1.0, sway=0.09)
    apart = rng.uniform(0.45, 0.65, 2)
    grow.trunk("basilic", -side * apart[0], -side * apart[1], rng.uniform(0.85, 1.15), sway=0.09)
    trunks = ["cephalic", "basilic"]
    if pattern == "three-trunks":
        share = rng.uniform(0.6, 0.95)
        u = rng.uniform(-0.15, 0.15)
        if rng.random() < 0.45:
            host = "basilic" if rng.random() < 0.65 else "cephalic"
            begin, ends = _span(grow, 1.0, 1.1), _span(grow, -0.8, -0.1)
            where = (u - 0.06, u + 0.06)
            added = grow.tributary(
                "median", host, share, start_u=where, start_y=begin, join_y=ends, tries=16
            )
        else:
            added = grow.trunk("median", u, u + rng.normal(0, 0.08), share, sway=0.06)
        if added:
            trunks.insert(1, "median")
    pairs = list(pairwise(trunks))
    ways = [0.55] * len(pairs)
    for number in range(1, int(rng.integers(1, 4)) + 1):
        pair = int(rng.integers(len(pairs)))
        source, host = pairs[pair][:: 1 if rng.random() < ways[pair] else -1]
        high = rng.uniform(-0.1, 0.95)
        share = float(rng.uniform(0.45, 0.8))
        leave = _span(grow, high - 0.35, high)
        over = {"leave_y": leave, "drop": (0.7, 1.9), "gaps": 3.6}
        if grow.link(f"link-{number}", source, host, share, **over):
            # the next one between the two slants rather the other way: veins make no ladders
            ways[pair] = 0.15 if source == pairs[pair][0] else 0.85
    _small(grow, trunks, 5)


def elbow_crease(grow: Growing, pattern: str, side: float) -> None:
    """Grow two trunks at the sides with a median cubital link, a forked median vein, or neither."""
    rng = grow.rng
    apart = rng.uniform(0.42, 0.6, 2)
    grow.trunk("cephalic", side * apart[0], side * apart[1], rng.uniform(0.85, 1.1), sway=0.08)
    apart = rng.uniform(0.45, 0.62, 2)
    grow.trunk("basilic", -side * apart[0], -side * apart[1], rng.uniform(0.95, 1.15), sway=0.08)
    edge = _span(grow, 1.0, 1.1)
    hosts = ["cephalic", "basilic"]
    if pattern == "median-cubital":
        leave, share = _span(grow, 0.05, 0.75), rng.uniform(0.9, 1.15)
        link = "cephalic", "basilic"
        if grow.link("median-cubital", *link, share, leave_y=leave, drop=(0.5, 1.3), tries=20):
            hosts.append("median-cubital")
        if rng.random() < 0.6 and "median-cubital" in grow.courses:
            u, ends = _across(side, -0.3, 0.1), _span(grow, -0.6, 0.6)
            share = rng.uniform(0.5, 0.8)
            host = "median-cubital" if rng.random() < 0.6 else "basilic"
            if grow.tributary("median", host, share, start_u=u, start_y=edge, join_y=ends):
                hosts.append("median")
    elif pattern == "median-fork":
        u, ends = _across(side, -0.12, 0.12), _span(grow, -0.75, -0.2)
        share = rng.uniform(0.85, 1.05)
        where = {"start_u": u, "start_y": edge, "join_y": ends}
        if grow.tributary("median", "basilic", share, **where, tries=20):
            hosts.append("median")
            leave, share = _span(grow, -0.2, 0.6), rng.uniform(0.55, 0.8)
            fork = {"leave_y": leave, "drop": (0.6, 1.5), "tries": 20}
            grow.link("median-cephalic", "median", "cephalic", share, **fork)
    elif rng.random() < 0.7:
        u, ends = _across(side, -0.2, 0.15), _span(grow, -0.8, 0.2)
        host = "basilic" if rng.random() < 0.7 else "cephalic"
        share = rng.uniform(0.6, 0.9)
        if grow.tributary("median", host, share, start_u=u, start_y=edge, join_y=ends):
            hosts.append("median")
    median = grow.courses.get("median")
    if median is not None and median.into in ("cephalic", "basilic") and rng.random() < 0.4:
        source = "cephalic" if median.into == "basilic" else "basilic"
        leave, share = _span(grow, 0.3, 0.95), float(rng.uniform(0.4, 0.65))
        grow.link("link-1", source, "median", share, leave_y=leave, drop=(0.8, 1.8))
    _small(grow, hosts, 3)


def _arched(grow: Growing, side: float, *, names: tuple[str, str, str], far: bool) -> None:
    """Grow two side veins, an arch from one into the other, and veins that run into the arch."""
    rng = grow.rng
    first, second, ray = names
    apart = rng.uniform(0.5, 0.66), rng.uniform(0.42, 0.6)
    grow.trunk(first, side * apart[0], side * apart[1], 1.0, sway=0.08)
    apart = rng.uniform(0.55, 0.7), rng.uniform(0.45, 0.62)
    grow.trunk(second, -side * apart[0], -side * apart[1], rng.uniform(0.85, 1.1), sway=0.08)
    source, host = (second, first) if rng.random() < 0.7 else (first, second)
    leave = _span(grow, 0.25, 0.6) if far else _span(grow, 0.0, 0.5)
    share = rng.uniform(0.65, 0.9)
    over = {"leave_y": leave, "drop": (0.15, 0.75), "angle": (45, 95), "tries": 25}
    arched = grow.link("arch", source, host, share, **over)
    target = "arch" if arched else host
    edge = _span(grow, 1.0, 1.1)
    low = -0.3 if arched else -0.6
    rays = [-0.12, 0.22] if rng.random() < 0.65 else [0.05]
    for number, about in enumerate(rays, 1):
        u = side * about + rng.normal(0, 0.05)
        share = float(rng.uniform(0.5, 0.8))
        where = {"start_u": (u - 0.08, u + 0.08), "start_y": edge}
        key = f"{ray}-{number}"
        if not grow.tributary(key, target, share, **where, join_y=_span(grow, low, 0.7), tries=12):
            grow.tributary(key, source, share, **where, join_y=_span(grow, low, 0.7))


def back_of_hand(grow: Growing, pattern: str, side: float) -> None:
    """Grow metacarpal veins that run into an arch between the veins of both sides."""
    rng = grow.rng
    _arched(grow, side, names=("cephalic", "basilic", "metacarpal"), far=False)
    hosts = [key for key in grow.courses if key != "arch"]
    if pattern == "arch-with-middle" and "arch" in grow.courses:
        leave, share = _span(grow, -0.6, 0.6), rng.uniform(0.5, 0.75)
        grow.outlet("middle", "arch", share, leave_y=leave, end_u=(-0.2, 0.2))
    edge = _span(grow, 1.0, 1.1)
    for number in range(1, 4):  # the two veins of neighbouring fingers meet between the knuckles
        host = str(rng.choice(hosts))
        about = grow.courses[host].points[0, 0] / grow.place(1.0, grow.half_length_mm)[0]
        u = about + rng.choice([-1.0, 1.0]) * rng.uniform(0.15, 0.3)
        if abs(u) > 0.88:
            continue
        where = {"start_u": (u, u), "start_y": edge, "join_y": _span(grow, 0.35, 0.85)}
        grow.tributary(f"digital-{number}", host, float(rng.uniform(0.45, 0.75)), **where)
    _small(grow, ["cephalic", "basilic"], 2)


def foot_of_infant(grow: Growing, _pattern: str, side: float) -> None:
    """Grow an arch across the back of the foot between the veins of both sides."""
    _arched(grow, side, names=("great-saphenous", "small-saphenous", "metatarsal"), far=True)
    _small(grow, ["great-saphenous", "small-saphenous"], 3)


GROW: dict[str, Callable[[Growing, str, float], None]] = {
    "forearm": forearm,
    "back-of-hand": back_of_hand,
    "elbow-crease": elbow_crease,
    "foot-of-infant": foot_of_infant,
}
