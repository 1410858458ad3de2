"""Drawing: scales, circles, words."""

import base64
import math
import re
from xml.etree import ElementTree

import pytest

from cubital.explore.kit import drawing
from cubital.explore.kit.drawing import (
    Axis,
    Beside,
    Sheet,
    StaticFigure,
    along,
    hatching,
    keep_below,
)

SVG = "{http://www.w3.org/2000/svg}"


def test_axis_lays_its_ends_on_its_ends_and_its_middle_between():
    axis = Axis(2, 6, 100, 300)
    assert [axis(v) for v in (2, 4, 6)] == [100, 200, 300]


def test_axis_may_run_upwards():
    axis = Axis(0, 10, 300, 100)
    assert axis(2.5) == 250


def test_ticks_include_both_ends_when_they_are_multiples():
    assert Axis(0, 1, 0, 9).ticks(0.2) == pytest.approx([0, 0.2, 0.4, 0.6, 0.8, 1])
    assert Axis(0.3, 2, 0, 9).ticks(0.5) == pytest.approx([0.5, 1, 1.5, 2])


def test_contrast_has_the_known_values():
    # WCAG 2: black on white is 21; #767676 is the lightest grey with 4.5 on white (4.54)
    assert drawing.contrast("#000000", "#ffffff") == pytest.approx(21)
    assert drawing.contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert drawing.contrast("#ffffff", "#767676") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("colour", drawing.TEXT_COLOURS)
def test_words_stand_out_on_paper_and_on_the_lumen(colour):
    assert drawing.contrast(colour) >= 4.5
    assert drawing.contrast(colour, drawing.LUMEN) >= 4.5


def test_hatching_stays_in_its_circle():
    sheet = Sheet(100, 100)
    sheet.hatch((50, 50), 30)
    lines = ElementTree.fromstring(sheet.svg()).findall(f"{SVG}line")
    assert len(lines) > 8
    for line in lines:
        for end in "12":
            away = math.hypot(float(line.get(f"x{end}")) - 50, float(line.get(f"y{end}")) - 50)
            assert away <= 30.1


def test_a_curve_is_cut_where_it_leaves_the_picture():
    # from (1, 20) to (2, 0) the line passes y = 5 three quarters of the way
    assert keep_below([(0, 40), (1, 20), (2, 0), (3, -50)], 5) == [(0, 40), (1, 20), (1.75, 5)]


def test_words_are_escaped():
    sheet = Sheet(10, 10)
    sheet.words((1, 1), "a < b & <script>")
    assert ElementTree.fromstring(sheet.svg()).find(f"{SVG}text").text == "a < b & <script>"


def test_static_figure_is_an_image_with_words_and_no_address():
    figure = StaticFigure(alt='says "this" & that', svg=Sheet(10, 10).svg(), caption="Below")
    html = figure._repr_html_()
    assert 'alt="says &quot;this&quot; &amp; that"' in html
    data = re.search(r'src="data:image/svg\+xml;base64,([^"]+)"', html).group(1)
    assert base64.b64decode(data).decode() == figure.svg
    assert repr(figure) == figure.alt


def test_a_smooth_line_passes_through_its_points_and_is_straight_where_they_are():
    points = [(0, 0), (3, 4), (10, 2), (12, 9)]
    places = along(points)
    for point in points:
        assert min(math.dist(point, place) for place in places) < 1e-9
    for x, y in along([(0, 0), (5, 5), (10, 10)]):
        assert x == pytest.approx(y)


def test_slanting_lines_fill_a_square_up_to_its_edge():
    # a square of 20 by 20 has a diagonal of 28.3: at a gap of 4, seven lines, or eight
    lines = hatching([(0, 0), (20, 0), (20, 20), (0, 20)], 4)
    assert len(lines) in {7, 8}
    for (x1, y1), (x2, y2) in lines:
        assert x1 + y1 == pytest.approx(x2 + y2)  # all one way: up to the right
        for x, y in ((x1, y1), (x2, y2)):
            assert min(x, y, 20 - x, 20 - y) == pytest.approx(0, abs=1e-9)


def test_figures_beside_each_other_each_keep_their_words():
    one, other = (StaticFigure(alt=alt, svg=Sheet(9, 9).svg()) for alt in ("first", "second"))
    html = Beside((one, other))._repr_html_()
    assert html.count("<figure") == 2
    assert 'alt="first"' in html
    assert 'alt="second"' in html
    assert repr(Beside((one, other))) == "first\n\nsecond"
