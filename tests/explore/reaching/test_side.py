"""From the side: ways along the needle, what lies in the vein, and lines to one scale."""

import math
from xml.etree import ElementTree

import pytest

from cubital.explore.reaching.side import SideView

SVG = "{http://www.w3.org/2000/svg}"
DASHED, DOTTED = "6 3", "2 4"


def shown(**state):
    return SideView(**state).show()


def lines(picture, **wanted):
    root = ElementTree.fromstring(picture.svg)
    keys = {key.replace("_", "-"): value for key, value in wanted.items()}
    return [
        tuple(float(line.get(end)) for end in ("x1", "y1", "x2", "y2"))
        for line in root.iter(f"{SVG}line")
        if all(line.get(key) == value for key, value in keys.items())
    ]


@pytest.mark.parametrize("angle", [10, 25, 33, 45])
@pytest.mark.parametrize(("depth", "vein"), [(2, 1.5), (6, 3), (11.5, 5.4)])
@pytest.mark.parametrize("length", [19, 32, 50])
def test_ways_are_those_of_a_triangle(angle, depth, vein, length):
    n = shown(
        insertion_angle_deg=angle, near_wall_depth_mm=depth, vein_diameter_mm=vein, length_mm=length
    ).numbers
    # the way along the needle is the long side of a triangle whose upright side is the depth
    near = math.hypot(depth, depth * math.tan(math.radians(90 - angle)))
    far = math.hypot(depth + vein, (depth + vein) * math.tan(math.radians(90 - angle)))
    assert n.near_wall_mm == pytest.approx(near)
    assert n.far_wall_mm == pytest.approx(far)
    assert n.room_mm == pytest.approx(far - near)
    assert n.length_in_vein_mm == pytest.approx(max(length - near, 0))
    assert n.share == pytest.approx(max(1 - near / length, 0))


def test_a_worked_case():
    # 48 mm, 12 mm deep at 30 degrees: 24 mm of track, 24 mm in the vein, half of it
    n = shown(length_mm=48, near_wall_depth_mm=12, insertion_angle_deg=30).numbers
    assert [n.near_wall_mm, n.length_in_vein_mm, n.share] == pytest.approx([24, 24, 0.5])


def test_ranges_take_the_errors_at_their_worst():
    # depth 6 give or take 0.5, diameter 3 give or take 0.3, at 30 degrees: twice as far
    reach = shown(insertion_angle_deg=30).numbers.reach
    assert list(reach.near_wall) == pytest.approx([11, 13])
    assert list(reach.far_wall) == pytest.approx([16.4, 19.6])
    assert reach.sure_room_mm == pytest.approx(16.4 - 13)


@pytest.mark.parametrize(
    ("length", "words"), [(19, "all failed"), (32, "32 % failed"), (48, "none failed")]
)
def test_the_study_is_quoted_for_the_band_that_the_share_lies_in(length, words):
    # at 20 degrees and 5 mm the track is 14.6 mm: 23, 54 and 70 % are left
    picture = shown(length_mm=length, near_wall_depth_mm=5, insertion_angle_deg=20)
    (note,) = (r.note for r in picture.readings if r.label == "Share in the vein")
    assert words in note.replace("\N{NO-BREAK SPACE}", " ")
    assert "one study of 86 patients" in note


def test_everything_is_drawn_to_the_scale_of_the_ruler():
    picture = shown(insertion_angle_deg=30, near_wall_depth_mm=6, vein_diameter_mm=4, length_mm=32)
    (ruler,) = (r for r in lines(picture, stroke_width="2") if r[1] == r[3] > 270 and r[0] == 8)
    px_per_mm = (ruler[2] - ruler[0]) / 5
    near, far = sorted(y for x, y, _, _ in lines(picture, stroke_width="3") if x == 8)[:2]
    assert (far - near) / px_per_mm == pytest.approx(4, abs=0.05)
    x1, y1, x2, y2 = next(r for r in lines(picture, stroke_dasharray=DASHED) if r[0] != 8)
    assert math.hypot(x2 - x1, y2 - y1) / px_per_mm == pytest.approx(12, abs=0.05)
    assert y2 == pytest.approx(near, abs=0.1)
    assert math.degrees(math.atan2(y2 - y1, x2 - x1)) == pytest.approx(30, abs=0.3)
    x1, y1, x2, y2 = next(r for r in lines(picture, stroke_dasharray=DOTTED) if r[0] != 8)
    assert (y1, y2) == pytest.approx((near, far), abs=0.1)
    root = ElementTree.fromstring(picture.svg)
    path = root.find(f"{SVG}polyline").get("points").split()
    ends = [float(pair.split(",")[0]) for pair in (path[0], path[-1])]
    assert (ends[1] - ends[0]) / px_per_mm == pytest.approx(20, abs=0.05)


def test_a_catheter_that_ends_before_the_vein_is_said_and_drawn_so():
    picture = shown(insertion_angle_deg=10, near_wall_depth_mm=12, length_mm=50)
    assert "it ends before the vein" in picture.alt
    assert "The catheter does not reach the vein" in picture.svg
    assert "polyline" not in picture.svg
    assert "circle" not in picture.svg


def test_alt_says_what_the_figure_shows_now():
    figure = SideView(insertion_angle_deg=25, near_wall_depth_mm=6, length_mm=32)
    assert "17.8 mm lie in the vein, 55.6 %" in figure.picture["alt"]
    assert "meets the far wall at 21.3 mm" in figure.picture["alt"]
    figure.length_mm = 48
    assert "33.8 mm lie in the vein, 70.4 %" in figure.picture["alt"]
