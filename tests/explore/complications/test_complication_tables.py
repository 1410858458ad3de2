"""The tables on complications: every row there, nothing hidden in the wrong column."""

from cubital import tables
from cubital.explore.complications.complication_tables import (
    drug_table,
    first_actions_table,
    look_and_feel_table,
    scales_table,
)
from cubital.tables import complications as rows


def test_every_complication_has_its_row_and_colour_its_own_column():
    table = look_and_feel_table()
    assert [row[0].replace(" ", "_") for row in table.rows] == list(rows.complications())
    hidden = [rows.findings()[key].words for key in rows.skin().hidden]
    for _, felt, seen, _ in table.rows:
        assert not any(word in felt.split("; ") for word in hidden)
        assert seen == "nothing here" or all(word in hidden for word in seen.split("; "))
    by_name = {row[0]: row for row in table.rows}
    assert "redness" in by_name["phlebitis"][2]
    assert "warm skin" in by_name["phlebitis"][1]
    assert "blanched skin" in by_name["infiltration"][2]
    assert "cool skin" in by_name["infiltration"][1]
    assert "electric" in by_name["nerve contact"][1]
    assert "slow capillary refill" in by_name["extravasation"][1]
    assert by_name["arterial puncture"][1].endswith("pain at the site, severe")
    assert not any("picture" in cell for row in table.rows for cell in row)


def test_every_drug_of_the_local_list_stands_in_the_row_of_its_class():
    table = drug_table()
    named = ", ".join(row[2] for row in table.rows)
    for drug in tables.profile().vesicants:
        assert drug in named
    (irritant,) = (row for row in table.rows if row[0] == "irritant")
    assert irritant[2] == "potassium chloride, concentrated"


def test_scales_show_all_their_grades_and_their_standing():
    for row, scale in zip(scales_table().rows, rows.scales().values(), strict=True):
        assert [part[0] for part in row[1].split("; ") if part[1:2] == ":"] == [
            str(grade.grade) for grade in scale.grades[1:]
        ]
        assert row[2:] == (scale.rule, scale.standing)


def test_first_actions_of_artery_nerve_and_extravasation_say_what_must_be_done():
    by_name = dict(first_actions_table().rows)
    assert by_name["arterial puncture"].startswith(
        "Stop, inject nothing, tourniquet off. Take the needle out and press"
    )
    assert by_name["nerve contact"].startswith("Tourniquet off and needle out at once")
    assert "Leave the catheter where it is, and do not flush." in by_name["extravasation"]
    assert "Never flush against resistance." in by_name["occlusion"]
