"""The drawn arm, held against what anatomists say lies where, and its words kept apart."""

import itertools
import math
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.path import Path as Shape
from PIL import ImageFont

from cubital import tables
from cubital.explore.complications import arm_nerves
from cubital.explore.kit import arm, drawing
from cubital.explore.kit.arm_sheet import ArmSheet
from cubital.explore.kit.drawing import along
from cubital.explore.reaching.layers import layers_picture
from cubital.explore.reading import arm_sites

SVG = "{http://www.w3.org/2000/svg}"
TABLE = tomllib.loads(Path(__file__).with_name("relations.toml").read_text(encoding="utf-8"))
COURSES = (*arm.VEINS, *arm.ARTERIES, *arm.NERVES)
VIEWS = ("palm", "back")
PICTURES = {
    "sites, palm": arm_sites.arm_sites_picture().figures[0],
    "sites, back": arm_sites.arm_sites_picture().figures[1],
    "nerves, palm": arm_nerves.arm_nerves_picture().figures[0],
    "nerves, back": arm_nerves.arm_nerves_picture().figures[1],
    "layers": layers_picture(),
}
LABELS = {
    "sites, palm": arm_sites.PALM,
    "sites, back": arm_sites.BACK,
    "nerves, palm": arm_nerves.PALM,
    "nerves, back": arm_nerves.BACK,
}
NAMED = {  # what a label's words call a course
    "cephalic vein": "cephalic",
    "accessory cephalic vein": "accessory cephalic",
    "basilic vein": "basilic",
    "median cubital vein": "median cubital",
    "median vein of the forearm": "median antebrachial",
    "venous network of the back of the hand": "dorsal network",
    "lateral cutaneous nerve of the forearm": "lateral antebrachial cutaneous",
    "medial cutaneous nerve of the forearm": "medial antebrachial cutaneous",
    "posterior cutaneous nerve of the forearm": "posterior antebrachial cutaneous",
    "superficial branch of the radial nerve, beside the vein": "superficial radial",
    "superficial branch of the radial nerve": "superficial radial",
    "radial artery, the pulse": "radial",
    "radial artery, between the thumb's tendons": "radial",
    "brachial artery": "brachial",
    "median nerve": "median",
    "ulnar artery": "ulnar",
    "ulnar nerve": "ulnar",
    "ulnar nerve, branch to the back of the hand": "dorsal branch of the ulnar",
    "tendon of the biceps": "biceps tendon",
}
FACE = Path(mpl.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"  # wider than most


def named(key, view="palm"):
    """The drawn lines of a course, as places; `ulnar artery` and `ulnar nerve` by their kind."""
    if key == "biceps tendon":
        return [np.array(along(arm.BICEPS_TENDON))]
    name, _, kind = key.rpartition(" ")
    is_told = kind in {"artery", "nerve"}
    found = [
        np.array(along(course.points))
        for course in COURSES
        if course.view == view
        and course.key == (name if is_told else key)
        and (not is_told or course.kind == kind)
    ]
    assert found, (key, view)
    return found


def across(key, y_mm, view="palm"):
    """The places r at which a course's lines cross a height."""
    crossed = []
    for line in named(key, view):
        for (r0, y0), (r1, y1) in itertools.pairwise(line):
            if min(y0, y1) <= y_mm <= max(y0, y1) and y0 != y1:
                crossed.append(r0 + (y_mm - y0) / (y1 - y0) * (r1 - r0))
    assert crossed, (key, y_mm)
    return crossed


def gap(key, other, y_mm, view):
    """How far a course lies from another at a height, by its nearest line."""
    return min(
        (abs(a - b), a - b) for a in across(key, y_mm, view) for b in across(other, y_mm, view)
    )


@pytest.mark.parametrize("row", TABLE["side"], ids=lambda row: f"{row['course']}, {row['view']}")
def test_a_course_keeps_to_its_side(row):
    sign = 1 if row["side"] == "thumb" else -1
    for line in named(row["course"], row["view"]):
        up_to_the_hand = line[line[:, 1] < 260]  # on the hand branches spread
        if row["course"] != "accessory cephalic" or row["view"] == "palm":
            assert (sign * up_to_the_hand[:, 0] > 5).all()


@pytest.mark.parametrize("row", TABLE["order"], ids=lambda row: f"at {row['at_mm']} mm")
def test_courses_lie_in_order_from_the_thumbs_side(row):
    places = [max(across(key, row["at_mm"])) for key in row["courses"]]
    assert places == sorted(places, reverse=True)
    assert min(-np.diff(places)) >= 3  # far enough apart to be told apart


@pytest.mark.parametrize("row", TABLE["near"], ids=lambda row: f"{row['course']}, {row['from_mm']}")
def test_a_course_lies_near_the_other(row):
    for y_mm in np.linspace(row["from_mm"], row["to_mm"], 9):
        apart, signed = gap(row["course"], row["other"], y_mm, row["view"])
        assert apart <= row["most_mm"], y_mm
        if row.get("inner"):
            assert signed < 0, y_mm


@pytest.mark.parametrize("row", TABLE["over"], ids=lambda row: f"{row['above']}, {row['below']}")
def test_what_lies_deeper_is_drawn_below(row):
    drawn = [course.key for course in arm.courses("palm", "vein", "artery", "nerve")]
    kind = row["below"].rpartition(" ")[2]
    below = row["below"].removesuffix(" artery") if kind == "artery" else row["below"]
    levels = {
        key: [c.level for c in COURSES if c.key == key and c.view == "palm"]
        for key in (row["above"], below)
    }
    if kind == "artery":
        levels[below] = [c.level for c in arm.ARTERIES if c.key == below and c.view == "palm"]
    assert max(levels[row["above"]]) > min(levels[below])
    last = len(drawn) - 1 - drawn[::-1].index(row["above"])
    assert last > drawn.index(below)


def test_the_front_branch_of_the_medial_nerve_and_the_artery_do_cross_the_median_cubital_vein():
    vein = named("median cubital")[0]
    for key in ("medial antebrachial cutaneous", "brachial", "median"):
        near = min(math.dist(a, b) for line in named(key) for a in line for b in vein)
        assert near < 2, key


def test_the_median_cubital_vein_rises_from_the_cephalic_to_the_basilic():
    low, high = named("median cubital")[0][[0, -1]]
    assert low[1] > 0 > high[1]  # below the crease, and above it
    assert min(math.dist(low, p) for p in named("cephalic")[0]) < 1
    assert min(math.dist(high, p) for p in named("basilic")[0]) < 1


def test_the_accessory_vein_joins_the_cephalic_at_the_elbow_and_the_median_vein_the_cubital():
    end = named("accessory cephalic")[0][-1]
    assert min(math.dist(end, p) for p in named("cephalic")[0]) < 1.5
    assert -10 < end[1] < 40
    end = named("median antebrachial")[0][-1]
    assert min(math.dist(end, p) for p in named("median cubital")[0]) < 1.5


def test_the_brachial_artery_divides_25_mm_below_the_line_between_the_epicondyles():
    # gray-1918: from midway between the epicondyles on for 2.5 cm, where it bifurcates
    end = named("brachial")[0][-1]
    assert end[1] - arm.EPICONDYLES_MM == pytest.approx(25, abs=3)
    assert abs(end[0]) < 5
    for key in ("radial artery", "ulnar artery"):
        assert math.dist(named(key)[0][0], end) < 0.1


def test_both_arteries_keep_near_the_lines_that_mark_them_on_the_skin():
    # gray-1918: from the biceps tendon's outer edge to the inner side of the tip of the radius;
    # for the lower two thirds, from the inner epicondyle to the thumb's side of the pisiform bone
    styloid, pisiform, epicondyle = (25, 235), (-20, 246), (-43, -10)
    for key, start, end, first in (
        ("radial artery", (9, 0), styloid, 60),
        ("ulnar artery", epicondyle, pisiform, 80),
    ):
        for y_mm in np.linspace(first, 230, 8):
            share = (y_mm - start[1]) / (end[1] - start[1])
            line = start[0] + share * (end[0] - start[0])
            assert across(key, y_mm)[0] == pytest.approx(line, abs=8), (key, y_mm)


def test_the_radial_branch_comes_to_the_skin_90_mm_above_the_tip_of_the_radius():
    # radial-branch-1992: a mean of 9.0 cm
    start = named("superficial radial")[0][0]
    assert arm.STYLOID_MM - start[1] == pytest.approx(90, abs=10)


def test_the_network_lies_across_the_middle_of_the_back_of_the_hand_and_feeds_both_veins():
    # gray-1918: opposite the middle of the metacarpus
    network = named("dorsal network", "back")[0]
    knuckles = 322
    middle = (arm.WRIST_MM + 12 + knuckles) / 2  # the carpal bones take some 12 mm below the crease
    assert network[:, 1].mean() == pytest.approx(middle, abs=8)
    assert math.dist(network[0], named("cephalic", "back")[0][0]) < 0.1
    assert math.dist(network[-1], named("basilic", "back")[0][0]) < 0.1


@pytest.mark.parametrize("key", ["cephalic", "basilic", "accessory cephalic", "superficial radial"])
def test_what_goes_round_the_arm_leaves_one_side_where_it_comes_to_the_other(key):
    outline = np.array(arm.ARM)
    ends = {view: [line[k] for line in named(key, view) for k in (0, -1)] for view in VIEWS}
    a, b = min(itertools.product(ends["palm"], ends["back"]), key=lambda pair: math.dist(*pair))
    assert math.dist(a, b) < 12
    side = outline[np.sign(outline[:, 0]) == np.sign(a[0])]
    side = side[np.argsort(side[:, 1])]
    border = np.interp(a[1], side[:, 1], np.abs(side[:, 0]))
    assert abs(a[0]) > border - 4


@pytest.mark.parametrize("view", VIEWS)
def test_it_is_a_right_arm_with_the_hand_below(view):
    sheet = ArmSheet(view)
    thumb, little = (sheet.place(d.middle[-1]) for d in (arm.DIGITS[0], arm.DIGITS[-1]))
    assert (thumb[0] < little[0]) == (view == "palm")
    assert sheet.place((0, 0))[1] < sheet.place((0, arm.WRIST_MM))[1] < thumb[1]


def inside(corners, place):
    return Shape([*corners, corners[0]]).contains_point(place)


def from_edge(corners, place):
    """How far a place lies from the nearest piece of an outline [mm]."""
    ends = np.array([*corners, corners[0]])
    start, way = ends[:-1], np.diff(ends, axis=0)
    share = ((place - start) * way).sum(axis=1) / np.maximum((way**2).sum(axis=1), 1e-12)
    nearest = start + np.clip(share, 0, 1)[:, None] * way
    return np.hypot(*(nearest - place).T).min()


def in_digit(digit, place):
    """Whether a place lies no farther from a finger's middle than half its width."""
    middle = np.array(along(digit.middle))
    halves = np.interp(np.linspace(0, 1, len(middle)), np.linspace(0, 1, 4), digit.half)
    return (np.hypot(*(middle - place).T) <= halves).any()


@pytest.mark.parametrize("course", COURSES, ids=lambda c: f"{c.key}, {c.view}")
def test_every_course_lies_in_the_arm(course):
    limb = along([*arm.ARM, arm.ARM[0]])
    for place in along(course.points):
        is_on = inside(limb, place) or from_edge(limb, place) < 1.5
        assert is_on or any(in_digit(digit, place) for digit in arm.DIGITS), place


def test_to_keep_away_reaches_120_mm_above_the_tip_of_the_radius_along_the_vein():
    # vialle-2001: at least 12 cm above the styloid process
    for view in VIEWS:
        zone = arm_sites.ZONES["thumb side above the wrist"][view]
        assert min(y for _, y in zone) == arm.STYLOID_MM - 120
        vein = named("cephalic", view)[0]
        between = [p for p in vein if arm.STYLOID_MM - 119 < p[1] < arm.STYLOID_MM + 5]
        assert between
        assert all(inside(zone, p) or from_edge(zone, p) < 2.5 for p in between)


def test_sites_and_what_to_keep_away_from_are_apart_and_numbers_stand_in_their_sites():
    for view in VIEWS:
        sites = {key: r[view] for key, r in arm_sites.SITES.items() if view in r}
        zones = [r[view] for r in arm_sites.ZONES.values() if view in r]
        for site, zone in itertools.product(sites.values(), zones):
            assert not any(inside(zone, place) for place in along(site))
            assert not any(inside(site, place) for place in zone)
        order = list(arm_sites.SITES)
        for number, place in arm_sites.NUMBERS[view]:
            assert inside(sites[order[number - 1]], place)


@pytest.mark.parametrize("name", LABELS)
def test_a_label_leads_to_what_it_names(name):
    view = name.rpartition(" ")[2]
    zones = {
        "thumb side: stay": "thumb side above the wrist",
        "inside of the": "inside of the wrist",
        "back of the wrist:": "back of the wrist",
    }
    for label in LABELS[name]:
        words = " ".join(label.lines)
        if label.lines[0] in zones:
            assert inside(arm_sites.ZONES[zones[label.lines[0]]][view], label.at), words
        elif words[0].isdigit():
            (place,) = (p for n, p in arm_sites.NUMBERS[view] if str(n) == words[0])
            assert math.dist(label.at, place) <= 10.5, words
        else:
            key = NAMED[words]
            kind = {drawing.NERVE: " nerve", drawing.MARKER: " artery"}.get(label.colour, "")
            lines = named(key + kind if kind else key, view)
            near = min(math.dist(label.at, p) for line in lines for p in line)
            assert near < 3, (words, near)


def boxes(svg):
    """Every text with its box on the sheet, in a wide face."""
    for text in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        size, x, y = (float(text.get(k)) for k in ("font-size", "x", "y"))
        long = ImageFont.truetype(FACE, 100).getlength(text.text) * size / 100
        start = {"start": x, "middle": x - long / 2, "end": x - long}[
            text.get("text-anchor", "start")
        ]
        yield text.text, (start, y - 0.8 * size, start + long, y + 0.22 * size)


@pytest.mark.parametrize("name", PICTURES)
def test_words_stay_on_the_sheet_and_off_each_other(name):
    root = ElementTree.fromstring(PICTURES[name].svg)
    _, _, width, height = (float(v) for v in root.get("viewBox").split())
    found = list(boxes(PICTURES[name].svg))
    assert len(found) >= 8
    for words, (left, top, right, bottom) in found:
        assert left >= 0, words
        assert right <= width, words
        assert top >= 0, words
        assert bottom <= height, words
    for (one, a), (other, b) in itertools.combinations(found, 2):
        apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        assert apart, (one, other)


@pytest.mark.parametrize("name", LABELS)
def test_words_stand_beside_the_arm_and_not_on_it(name):
    view = name.rpartition(" ")[2]
    sheet = ArmSheet(view)
    shapes = [Shape(sheet.places(along([*arm.ARM, arm.ARM[0]])))]
    shapes += [Shape(sheet.places([*d.middle, d.middle[0]])) for d in arm.DIGITS]
    for words, (left, top, right, bottom) in boxes(PICTURES[name].svg):
        if words.isdigit():
            continue
        corners = itertools.product((left, right), (top, bottom))
        assert not any(shape.contains_point(c) for shape in shapes for c in corners), words


@pytest.mark.parametrize("name", PICTURES)
def test_words_stand_out_and_are_large_enough(name):
    for text in ElementTree.fromstring(PICTURES[name].svg).iter(f"{SVG}text"):
        assert drawing.contrast(text.get("fill")) >= 4.5
        assert float(text.get("font-size")) >= 12
    for colour in (drawing.VEIN, drawing.MARKER, drawing.NERVE):
        assert drawing.contrast(colour, drawing.SKIN) >= 4.5


@pytest.mark.parametrize("name", LABELS)
def test_the_words_of_a_picture_name_all_that_its_labels_name(name):
    alt = PICTURES[name].alt.lower()
    for label in LABELS[name]:
        words = " ".join(label.lines).lower()
        for word in (
            "cephalic",
            "basilic",
            "median",
            "cubital",
            "radial",
            "ulnar",
            "brachial",
            "lateral",
            "medial",
            "posterior",
            "tendon",
            "wrist",
            "thumb",
            "crease",
        ):
            assert word not in words or word in alt, (words, word)
        if words[0].isdigit():
            assert words[:2].strip(":") in alt
    assert len(alt) > 600


@pytest.mark.parametrize("name", PICTURES)
def test_says_that_it_is_a_drawing_and_that_people_differ(name):
    caption = PICTURES[name].caption
    assert "not clinically validated" in caption.lower()
    said = ("in every person", "every person differs", "from person to person")
    assert any(words in caption for words in said)


def test_every_relation_names_a_known_source():
    rows = [row for kind in TABLE.values() for row in kind]
    assert len(rows) >= 20
    assert {row["source"] for row in rows} <= set(tables.bibliography())
