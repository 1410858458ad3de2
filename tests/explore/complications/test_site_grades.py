"""One site by four scales: grades read off the printed scales by hand."""

from xml.etree import ElementTree

import pytest

from cubital.explore.complications.site_grades import (
    SITES,
    GradeState,
    OneSiteFourScales,
    site_findings,
)
from cubital.tables import complications as rows

SVG = "{http://www.w3.org/2000/svg}"
COOL = {"oedema_mm": 40, "swelling": "mild", "pain": "slight", "site": "cool"}
RED = {"pain": "slight", "site": "red"}
CORD = {"pain": "moderate", "site": "cord"}


def shown(**state):
    return OneSiteFourScales(**state).show()


def grades(**state):
    return tuple(row.grade for row in shown(**state).numbers.grades.values())


@pytest.mark.parametrize(
    ("state", "by_hand"),
    [
        # infiltration, extravasation, phlebitis, visual score, as their rows are printed
        ({}, (0, 0, 0, 0)),
        ({"oedema_mm": 20}, (1, 1, 1, 1)),
        ({"oedema_mm": 25}, (2, 1, 1, 1)),
        ({"oedema_mm": 150}, (2, 1, 1, 1)),
        ({"oedema_mm": 155}, (3, 1, 1, 1)),
        ({**COOL, "drug": "sodium chloride 0.9 %"}, (2, 2, 2, 2)),
        ({**COOL, "drug": "noradrenaline"}, (4, 2, 2, 2)),
        ({**COOL, "site": "pale"}, (2, 3, 2, 2)),
        ({**COOL, "site": "pale", "swelling": "marked"}, (2, 4, 2, 2)),
        ({"site": "pale"}, (1, 3, 0, 0)),  # by a rule of the course: blanching without swelling
        ({"site": "tight"}, (4, 3, 0, 0)),
        ({"swelling": "mild"}, (1, 2, 1, 1)),
        (RED, (1, 1, 2, 2)),
        (CORD, (3, 1, 3, 3)),
        ({**CORD, "pain": "severe"}, (4, 3, 3, 3)),  # severe pain alone, by a rule of the course
    ],
)
def test_grades_are_those_of_the_printed_rows(state, by_hand):
    assert grades(**state) == by_hand


@pytest.mark.parametrize(
    ("state", "by_hand"),
    [
        (RED, (1, 1, 1, 1)),  # a slight pain, and warmth that no row names
        (CORD, (3, 1, 1, 2)),  # no redness: the visual score is left with pain and firmness
        ({"site": "pale"}, (1, 1, 0, 0)),  # cool is felt, blanching is not seen
        (COOL, (2, 2, 2, 2)),
    ],
)
def test_where_colour_does_not_show_the_same_site_is_graded_lower(state, by_hand):
    picture = shown(skin_tone="hides", **state)
    assert grades(skin_tone="hides", **state) == by_hand
    assert tuple(row.grade for row in picture.numbers.if_shown.values()) == grades(**state)
    (reading,) = (r for r in picture.readings if r.label == "If colour showed")
    assert ("grades too low" in reading.note) == (by_hand != grades(**state))


@pytest.mark.parametrize("site", SITES)
def test_no_colour_is_used_where_it_does_not_show(site):
    state = GradeState(**OneSiteFourScales(site=site, skin_tone="hides").state())
    found = site_findings(state, colour_shows=False)
    assert not set(found) & set(rows.skin().hidden)
    assert found.items() <= site_findings(state).items()


def test_first_action_leaves_the_catheter_in_for_a_vesicant_and_where_it_is_not_known():
    def first(**state):
        (reading,) = (r for r in shown(**state).readings if r.label == "First, by local policy")
        return reading.value

    assert "Leave the catheter where it is, and do not flush" in first(**COOL, drug="noradrenaline")
    assert "Leave the catheter until it is known" in first(**COOL)
    assert "Take the catheter out" in first(**COOL, drug="sodium chloride 0.9 %")
    assert "take the catheter out now; only if the therapy cannot pause" in first(**CORD)
    assert first() == first(drug="sodium chloride 0.9 %") == "Look again soon."


GRAVE = {
    "oedema_mm": 100,
    "swelling": "marked",
    "pain": "severe",
    "site": "tight",
    "drug": "noradrenaline",
}


def test_a_grave_leak_is_not_graded_low_because_its_blanching_cannot_be_seen():
    assert grades(**GRAVE)[1] == 4
    picture = shown(**GRAVE, skin_tone="hides")
    (reading,) = (r for r in picture.readings if r.label == "Extravasation")
    assert reading.value == "3 to 4 of 4"
    assert "By a rule of this course. It may be 4: blanching cannot be seen here" in reading.note
    assert "Not counted" not in reading.note
    assert "extravasation 3 to 4" in picture.alt
    rings = ElementTree.fromstring(picture.svg).iter(f"{SVG}circle")
    assert [bool(c.get("stroke-dasharray")) for c in rings].count(True) == 1


@pytest.mark.parametrize("drug", ["noradrenaline", "adrenaline", "anthracyclines"])
@pytest.mark.parametrize("state", [RED, CORD, {"site": "cool"}, {"swelling": "mild"}])
@pytest.mark.parametrize("skin_tone", ["shows", "hides"])
def test_while_a_vesicant_runs_no_sign_takes_the_catheter_out(drug, state, skin_tone):
    picture = shown(**state, drug=drug, skin_tone=skin_tone)
    (first,) = (r for r in picture.readings if r.label == "First, by local policy")
    assert "Leave the catheter where it is, and do not flush." in first.value
    assert "ake the catheter out" not in first.value


def test_one_slight_sign_is_watched_and_two_take_the_catheter_out():
    """vip-cards (read): observe at 1, resite from 2."""

    def first(**state):
        (reading,) = (r for r in shown(**state).readings if r.label == "First, by local policy")
        return reading

    one, two = first(site="red"), first(**RED)
    assert "watch it, and look again soon" in one.value
    assert "take the catheter out" not in one.value
    assert "take the catheter out now" in two.value
    hidden = first(site="red", skin_tone="hides")
    assert "the score may be too low" in hidden.note


def test_an_irritant_outside_the_vein_waits_for_the_pharmacist():
    (first,) = (
        r
        for r in shown(**COOL, drug="many antibiotics").readings
        if r.label == "First, by local policy"
    )
    assert "Take the catheter out" not in first.value


def test_what_is_the_courses_own_rule_or_waits_for_a_higher_row_is_said():
    def note(label, **state):
        (reading,) = (r for r in shown(**state).readings if r.label == label)
        return reading.note

    cool = note("Extravasation", **COOL)
    assert "only a higher row lists it: cool skin. Have somebody look at it." in cool
    assert "By a rule of this course" not in cool
    assert "By a rule of this course." in note("Extravasation", site="pale")


def test_a_ring_stands_on_the_rung_of_each_grade():
    picture = shown(**COOL, drug="noradrenaline")
    root = ElementTree.fromstring(picture.svg)
    rings = [float(c.get("cy")) for c in root.iter(f"{SVG}circle")]
    bold = [
        (text.text, float(text.get("y")))
        for text in root.iter(f"{SVG}text")
        if text.get("font-weight") and text.text.isdigit()
    ]
    assert [label for label, _ in bold] == ["4", "2", "2", "2"]
    assert [y - 5 for _, y in bold] == rings
    bottom = rings[0] + 4 * (rings[1] - rings[0]) / 2
    assert rings == [bottom - 34 * grade for grade in (4, 2, 2, 2)]


def test_alt_says_what_the_figure_shows_now():
    figure = OneSiteFourScales(**COOL)
    assert "infiltration 2, extravasation 2, phlebitis 2, visual score 2" in figure.picture["alt"]
    figure.drug = "noradrenaline"
    assert "infiltration 4" in figure.picture["alt"]
    assert "what runs in: noradrenaline" in figure.picture["alt"]
    figure.skin_tone = "hides"
    assert "Colour does not show on this skin" in figure.picture["alt"]


@pytest.mark.parametrize("name", OneSiteFourScales.inputs)
def test_every_step_of_every_control_is_said_beside_the_figure(name):
    figure = OneSiteFourScales(**COOL)
    (control,) = (c for c in figure.controls if c["name"] == name)
    values = [value for value, _ in control.get("options", [])] or [0, 5, 40, 200]
    told = []
    for value in values:
        setattr(figure, name, value)
        told.append(str(figure.picture["readings"]))
    assert len(set(told)) == len(values)
