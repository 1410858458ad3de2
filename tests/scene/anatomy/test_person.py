"""Laws of simulated vein patterns, checked on the points themselves by other ways of computing."""

import hashlib
import re
import subprocess
import sys

import numpy as np
import pytest
from scipy.spatial import cKDTree

from cubital import tables
from cubital.scene.anatomy.person import SITES, age_groups, anatomy
from cubital.scene.anatomy.valves import segments
from cubital.tables.scene import limb_sizes, vessel_sizes

PLACES = [(site, age) for site in SITES for age in age_groups(site)]
EACH = 12  # persons of every site and age group

DIGEST = """
import hashlib
from cubital.scene.anatomy.person import SITES, anatomy
found = hashlib.sha256()
for site in SITES:
    for seed in (0, 7, 123456789):
        person = anatomy(site, seed=seed)
        for vessel in person.vessels:
            found.update(vessel.key.encode())
            for name in ("x_mm", "y_mm", "depth_mm", "diameter_mm"):
                found.update(getattr(vessel, name).tobytes())
        found.update(repr((person.limb, person.valves, person.confluences)).encode())
print(found.hexdigest())
"""


@pytest.fixture(scope="module")
def people():
    """Persons of all sites and ages, half of them with an artery."""
    return [
        anatomy(site, seed=seed, age_group=age, artery=bool(seed % 2))
        for site, age in PLACES
        for seed in range(EACH)
    ]


def points(vessel):
    return np.stack([vessel.x_mm, vessel.y_mm], axis=1)


def veins(person):
    return [vessel for vessel in person.vessels if vessel.kind == "vein"]


def size(person):
    return limb_sizes()[person.site, person.age_group]


def bytes_of(person):
    columns = [
        getattr(vessel, name)
        for vessel in person.vessels
        for name in ("x_mm", "y_mm", "depth_mm", "diameter_mm")
    ]
    return b"".join(column.tobytes() for column in columns)


def test_a_seed_gives_the_same_bytes_in_another_process():
    run = [sys.executable, "-c", DIGEST]
    first, second = (
        subprocess.run(run, check=True, capture_output=True, text=True).stdout for _ in range(2)
    )
    assert first == second
    assert len(first.strip()) == hashlib.sha256().digest_size * 2


def test_another_seed_is_another_person():
    for site, age in PLACES:
        found = {bytes_of(anatomy(site, seed=seed, age_group=age)) for seed in range(20)}
        assert len(found) == 20


def test_what_is_asked_of_valves_leaves_the_veins_alone():
    plain = anatomy("forearm", seed=5)
    asked = anatomy("forearm", seed=5, valves=2)
    assert bytes_of(plain) == bytes_of(asked)
    assert len(asked.valves) == 2


def test_depth_and_diameter_are_finite_and_within_the_sites_range_and_the_contrast_fits(people):
    limits = tables.limits()
    depth, diameter = limits["upper_wall_depth_mm"], limits["lumen_diameter_mm"]
    for person in people:
        for vessel in person.vessels:
            row = vessel_sizes()[person.site, person.age_group, vessel.kind]
            assert np.isfinite(points(vessel)).all()
            assert (vessel.depth_mm >= max(row.depth_low_mm, depth.low)).all()
            # an artery pressed below a vein may lie deeper than is usual
            most = row.depth_high_mm if vessel.kind == "vein" else depth.high
            assert (vessel.depth_mm <= min(most, depth.high)).all()
            assert (vessel.diameter_mm >= max(row.diameter_low_mm, diameter.low)).all()
            assert (vessel.diameter_mm <= min(row.diameter_high_mm, diameter.high)).all()


def test_depth_and_diameter_change_slowly(people):
    for person in people:
        for vessel in person.vessels:
            step = np.hypot(np.diff(vessel.x_mm), np.diff(vessel.y_mm))
            assert (np.abs(np.diff(vessel.diameter_mm)) < 0.25 * step).all()
            assert (np.abs(np.diff(vessel.depth_mm)) < 0.8 * step).all()


def test_points_follow_each_other_every_half_millimetre_on_the_limb(people):
    for person in people:
        reach = size(person).half_length_mm
        for vessel in person.vessels:
            step = np.hypot(np.diff(vessel.x_mm), np.diff(vessel.y_mm))
            assert step.min() > 0.4
            assert step.max() < 0.56
            half = person.limb.half_width_mm - person.limb.taper * vessel.y_mm
            assert (np.abs(vessel.x_mm) < half).all()
            assert (np.abs(vessel.y_mm) <= reach + 1e-9).all()


def test_no_vein_turns_back(people):
    for person in people:
        for vessel in veins(person):
            assert vessel.y_mm[0] > vessel.y_mm[-1]
            away = np.diff(vessel.y_mm[::4])  # towards the hand where above 0
            # an arch may rise a little towards the hand before it goes on
            assert away[away > 0].sum() < 0.12 * person.limb.half_width_mm


def test_every_vein_joins_another_or_leaves_the_site_towards_the_heart(people):
    for person in people:
        reach = size(person).half_length_mm
        for vessel in veins(person):
            if vessel.into is None:
                assert vessel.y_mm[-1] == pytest.approx(-reach)
            if vessel.out_of is None:
                edge = person.limb.half_width_at_mm(vessel.y_mm[0])
                at_side = abs(vessel.x_mm[0]) > 0.95 * edge
                assert at_side or vessel.y_mm[0] == pytest.approx(reach)


def ends_on_others(person):
    """Find the ends of veins that lie on another vein, from the points alone."""
    found = set()
    for vessel in veins(person):
        for end in (0, -1):
            place = points(vessel)[end]
            for other in veins(person):
                if other.key == vessel.key:
                    continue
                away = np.hypot(*(points(other) - place).T)
                if away.min() <= 0.1:
                    at = int(away.argmin())
                    assert vessel.depth_mm[end] == pytest.approx(other.depth_mm[at], abs=0.1)
                    found.add((*(round(float(part), 6) for part in place), vessel.key, other.key))
    return found


def test_confluences_are_those_that_the_points_show(people):
    for person in people:
        listed = {
            (round(c.x_mm, 6), round(c.y_mm, 6), c.joining, c.joined) for c in person.confluences
        }
        assert listed == ends_on_others(person)
        assert len(listed) == len(person.confluences)


def test_hosts_are_those_of_the_confluences(people):
    for person in people:
        hosts = sorted(
            (vessel.key, host)
            for vessel in person.vessels
            for host in (vessel.into, vessel.out_of)
            if host is not None
        )
        assert hosts == sorted((c.joining, c.joined) for c in person.confluences)


def test_separate_veins_can_be_told_apart(people):
    """Nearer than the gap only beside a confluence of the two, and there they open steadily."""
    for person in people:
        gap = size(person).gap_mm
        for vessel in veins(person):
            for other in veins(person):
                if vessel.key == other.key:
                    continue
                away, _ = cKDTree(points(other)).query(points(vessel))
                shared = [
                    (c.x_mm, c.y_mm)
                    for c in person.confluences
                    if {c.joining, c.joined} == {vessel.key, other.key}
                ]
                least = np.full(away.size, gap)
                for place in shared:
                    beside = np.hypot(*(points(vessel) - place).T)
                    least = np.minimum(least, 0.36 * beside)
                assert (away > 0.9 * least - 1.0).all(), (person.site, person.seed, vessel.key)
                if not shared:
                    assert away.min() > 0.9 * gap


def along_at(vessel, place):
    away = np.hypot(vessel.x_mm - place.x_mm, vessel.y_mm - place.y_mm)
    return float(vessel.along_mm[away.argmin()])


def test_where_veins_meet_their_diameters_follow_the_branching_rule(people):
    power, ratios = tables.constant("vein_branching_exponent").value, []
    for person in people:
        for c in person.confluences:
            host, small = person.vessel(c.joined), person.vessel(c.joining)
            at = np.hypot(host.x_mm - c.x_mm, host.y_mm - c.y_mm).argmin()
            joins = np.hypot(small.x_mm[-1] - c.x_mm, small.y_mm[-1] - c.y_mm) < 0.1
            reach = 1.7 * host.diameter_mm[at]
            place = along_at(host, c)
            others = [
                abs(along_at(host, o) - place)
                for o in person.confluences
                if o.joined == c.joined and o != c
            ]
            if min(others, default=99) < 2.2 * reach:
                continue
            before, after = host.at(place - reach)[3], host.at(place + reach)[3]
            if not joins:
                before, after = after, before
            joined = (before**power + small.diameter_mm[-1 if joins else 0] ** power) ** (1 / power)
            ratios.append(after / joined)
    ratios = np.array(ratios)
    assert ratios.size > 200
    assert np.median(ratios) == pytest.approx(1, abs=0.02)
    assert (np.abs(ratios - 1) < 0.12).mean() > 0.95


def test_an_artery_runs_across_the_site_straighter_and_deeper_than_veins(people):
    straight, deeper = [], []
    for person in people:
        if person.seed % 2 == 0:
            assert all(vessel.kind == "vein" for vessel in person.vessels)
            continue
        artery = person.vessel("artery")
        assert artery.kind == "artery"
        assert artery.into is None
        assert artery.out_of is None
        reach = size(person).half_length_mm
        assert artery.y_mm[[0, -1]].tolist() == pytest.approx([-reach, reach])
        chord = np.hypot(np.ptp(artery.x_mm[[0, -1]]), 2 * reach)
        straight.append(artery.length_mm / chord)
        deeper.append(np.median(artery.depth_mm) - np.median(veins(person)[0].depth_mm))
        for vein in veins(person):
            away, index = cKDTree(points(vein)).query(points(artery))
            crossing = away < 0.5
            lower_wall = (vein.depth_mm + vein.diameter_mm)[index]
            assert (artery.depth_mm > lower_wall)[crossing].all(), (person.site, person.seed)
    assert max(straight) < 1.03
    assert np.mean(np.array(deeper) > 0) > 0.85


def test_valves_keep_away_from_ends_and_confluences_and_each_other(people):
    for person in people:
        wide = person.limb.half_width_mm
        clear = tables.constant("valve_clearance_share").value * wide
        apart = tables.constant("valve_apart_share").value * wide
        for part in segments(person):
            here = sorted(
                v.along_mm
                for v in person.valves
                if v.vessel == part.vessel and part.start_mm <= v.along_mm <= part.end_mm
            )
            for place in here:
                assert place - part.start_mm >= clear - 0.6
                assert part.end_mm - place >= clear - 0.6
            assert (np.diff(here) >= apart - 0.01).all()
        assert all(person.vessel(valve.vessel).kind == "vein" for valve in person.valves)


def test_valves_stand_more_often_just_upstream_of_a_confluence_than_just_downstream():
    up = down = 0
    for seed in range(60):
        person = anatomy("forearm", seed=seed, artery=False)
        near = 0.25 * person.limb.half_width_mm
        for part in segments(person):
            if not part.joined:
                continue
            here = [v.along_mm for v in person.valves if v.vessel == part.vessel]
            up += sum(part.end_mm - near < place < part.end_mm for place in here)
            down += sum(part.start_mm < place < part.start_mm + near for place in here)
    assert up > 2 * down


def test_as_many_valves_as_are_asked_for():
    for count in (0, 1, 4, 9):
        assert len(anatomy("forearm", seed=3, valves=count).valves) == count


def test_too_many_valves_say_how_many_there_can_be():
    with pytest.raises(ValueError, match=r"80 valves do not fit .*at most \d+") as caught:
        anatomy("foot-of-infant", seed=1, valves=80)
    most = int(re.search(r"at most (\d+)", str(caught.value)).group(1))
    assert len(anatomy("foot-of-infant", seed=1, valves=most).valves) == most
    with pytest.raises(ValueError, match=f"at most {most}"):
        anatomy("foot-of-infant", seed=1, valves=most + 1)


def test_a_valve_in_a_segment_too_short_says_the_shortest():
    with pytest.raises(ValueError, match=r"segment of 3 mm.*shortest segment is (\d+\.\d) mm"):
        anatomy("forearm", seed=3, valve_in_segment_mm=3)


def valve_segments(person):
    return [
        part.length_mm
        for part in segments(person)
        for v in person.valves
        if v.vessel == part.vessel and part.start_mm < v.along_mm < part.end_mm
    ]


def test_a_valve_in_a_segment_of_a_length_or_the_nearest_there_is():
    with pytest.raises(ValueError, match=r"within a tenth of 199 mm: the nearest") as caught:
        anatomy("forearm", seed=3, valve_in_segment_mm=199)
    nearest = float(re.search(r"valve is (\d+\.\d) mm", str(caught.value)).group(1))
    person = anatomy("forearm", seed=3, valves=1, valve_in_segment_mm=nearest)
    assert valve_segments(person) == [pytest.approx(nearest, rel=0.1)]


def test_a_valve_in_a_segment_long_enough_or_the_longest_there_is():
    with pytest.raises(ValueError, match=r"is 190 mm or more: the longest is") as caught:
        anatomy("forearm", seed=3, least_segment_mm=190)
    longest = float(re.search(r"longest is (\d+\.\d) mm", str(caught.value)).group(1))
    person = anatomy("forearm", seed=3, valves=1, least_segment_mm=longest - 0.1)
    assert valve_segments(person) == [pytest.approx(longest, abs=0.1)]


def test_a_depth_and_a_diameter_that_are_asked_for_are_this_persons_usual_ones():
    shallow, deep = (anatomy("forearm", seed=2, depth_mm=depth) for depth in (1.5, 4.5))
    thin, wide = (anatomy("forearm", seed=2, diameter_mm=width) for width in (1.5, 4.5))
    assert np.median(veins(deep)[0].depth_mm) > 2 * np.median(veins(shallow)[0].depth_mm)
    assert np.median(veins(wide)[0].diameter_mm) == pytest.approx(4.5, rel=0.25)
    assert np.median(veins(thin)[0].diameter_mm) == pytest.approx(1.5, rel=0.25)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"site": "knee"}, "no site is called 'knee': choose one of forearm"),
        ({"age_group": "adult", "site": "foot-of-infant"}, "no age group 'adult'.*infant"),
        ({"age_group": "elder"}, "no age group 'elder'"),
        ({"seed": 1.5}, r"seed is 1\.5: it must be a whole number"),
        ({"seed": True}, "seed is True"),
        ({"valves": -1}, "number of valves is -1: it must be from 0 to 80"),
        ({"valves": 2.5}, r"number of valves is 2\.5: it must be a whole number"),
        ({"valve_in_segment_mm": 0}, "must be from 0.5 to 200 mm"),
        ({"least_segment_mm": float("nan")}, "must be from 0.5 to 200 mm"),
        ({"depth_mm": 9}, "depth of a main vein is 9 mm: it must be from 0.6 to 7.6 mm"),
        ({"diameter_mm": 0.1}, "diameter of a main vein is 0.1 mm"),
        ({"valves": 0, "least_segment_mm": 20}, "cannot both be had"),
    ],
)
def test_what_cannot_be_asked_is_said(asked, words):
    asked = {"site": "forearm", "seed": 3} | asked
    with pytest.raises(ValueError, match=words):
        anatomy(asked.pop("site"), **asked)
