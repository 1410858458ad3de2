"""The lessons' tables: what they say, and that a screen reader can walk them."""

from xml.etree import ElementTree

import pytest

from cubital import tables
from cubital.explore import sources
from cubital.explore.kit.table import LessonTable
from cubital.explore.sizing.gauge_tables import (
    choice_table,
    gauge_figure,
    gauge_table,
    needle_table,
    ratio_evidence_table,
)

# ISO 10555-5: gauge, outer diameter band in mm, hub colour (from memory, as in tests/published)
BANDS = {
    "26": ("0.550 to 0.649", "violet"),
    "24": ("0.650 to 0.749", "yellow"),
    "22": ("0.750 to 0.949", "deep blue"),
    "20": ("0.950 to 1.149", "pink"),
    "18": ("1.150 to 1.349", "deep green"),
    "17": ("1.350 to 1.549", "white"),
    "16": ("1.550 to 1.849", "medium grey"),
    "14": ("1.850 to 2.249", "orange"),
}
ALL = [
    gauge_table,
    needle_table,
    ratio_evidence_table,
    lambda: choice_table(flow_needed_ml_per_min=3, vein_diameter_mm=3),
]


@pytest.mark.parametrize("make", ALL)
def test_tables_have_a_caption_and_heads_with_their_scope(make):
    root = ElementTree.fromstring(make()._repr_html_())
    table = root.find("table")
    assert table.find("caption").text
    heads = table.findall("thead/tr/th")
    assert heads
    assert all(head.get("scope") == "col" and head.text for head in heads)
    rows = table.findall("tbody/tr")
    assert rows
    for row in rows:
        assert [cell.tag for cell in row] == ["th"] + ["td"] * (len(heads) - 1)
        assert row[0].get("scope") == "row"
        assert all(cell.text for cell in row)


def test_gauge_table_is_the_standards():
    assert {row[0]: (row[1], row[4]) for row in gauge_table().rows} == BANDS


def test_gauge_table_gives_french_as_three_times_the_millimetres():
    for row in gauge_table().rows:
        upper = float(row[1].split(" to ")[1])
        assert float(row[2]) == pytest.approx(3 * upper, abs=0.05)


def test_needles_and_catheters_of_one_gauge_differ_in_size_and_colour():
    for _, catheter, needle, catheter_hub, needle_hub in needle_table().rows:
        assert catheter != needle
        assert catheter_hub != needle_hub


def test_ratio_table_says_what_each_figure_rests_on():
    rows = ratio_evidence_table().rows
    by_diameter = [row[0].replace("\N{NO-BREAK SPACE}", " ") for row in rows]
    by_area = [row[1].replace("\N{NO-BREAK SPACE}", " ") for row in rows]
    assert by_diameter == ["33 %", "41 %", "45 %"]
    assert by_area == ["11 %", "17 %", "20 %"]  # 0.33, 0.41 and 0.45 squared
    for row, evidence in zip(rows, tables.ratio_evidence(), strict=True):
        assert row[2] == evidence.rests_on
        assert tables.bibliography()[evidence.source].text in row[3]
        assert "summary" in row[3] or "read" in row[3]
    assert "Local policy" in ratio_evidence_table().note


def test_choice_is_the_thinnest_that_gives_the_flow_and_says_whether_it_fits():
    table = choice_table(flow_needed_ml_per_min=50, vein_diameter_mm=2.6)
    assert table.note.startswith("Answer: 20 gauge, fits.")
    meets = {row[0]: row[2] for row in table.rows}
    assert meets == {
        "24": "no", "22": "no", "20": "yes", "18": "yes", "17": "not known", "16": "yes",
        "14": "yes",
    }  # fmt: skip
    fits = {row[0]: row[4] for row in table.rows}
    assert [g for g in fits if fits[g] == "yes"] == ["24", "22", "20"]  # upper end / 2.6 <= 0.45


def test_choice_in_a_narrower_vein_is_too_large():
    table = choice_table(flow_needed_ml_per_min=50, vein_diameter_mm=2.4)
    assert table.note.startswith("Answer: 20 gauge, too large for this vein.")


def test_a_pictures_width_sizes_nothing():
    table = choice_table(flow_needed_ml_per_min=3, vein_diameter_mm=5, measured_by="picture")
    assert table.note.startswith("Answer: cannot be sized.")
    assert {row[3] for row in table.rows} == {row[4] for row in table.rows} == {"not known"}


def test_impossible_vein_raises():
    with pytest.raises(ValueError, match="vein diameter is 0 mm: it must be from"):
        choice_table(flow_needed_ml_per_min=3, vein_diameter_mm=0)


def test_table_cells_are_escaped():
    html = LessonTable("<b>", ("a & b", "c"), (("<i>", "1 < 2"),), note="<script>")._repr_html_()
    assert ElementTree.fromstring(html).find("table/tbody/tr/td").text == "1 < 2"
    assert "<script>" not in html


def test_gauge_figure_says_that_gauge_falls_as_the_catheter_grows():
    alt = gauge_figure().alt
    assert "from 26 gauge on the left" in alt
    assert "0.65 mm across" in alt
    assert "to 14 gauge on the right" in alt
    assert "2.25 mm" in alt
    circles = ElementTree.fromstring(gauge_figure().svg).findall(
        "{http://www.w3.org/2000/svg}circle"
    )
    outer = [float(circle.get("r")) for circle in circles[::2]]
    assert outer == sorted(outer)
    assert outer[-1] / outer[0] == pytest.approx(2.249 / 0.649, rel=0.01)


def test_sources_give_the_bibliographys_words_and_refuse_an_unknown_key():
    html = sources("sharp-2021")._repr_html_()
    assert "BMJ Open" in html
    assert "summary read for this course" in html
    with pytest.raises(ValueError, match="no source is called nobody-1900"):
        sources("sharp-2021", "nobody-1900")
