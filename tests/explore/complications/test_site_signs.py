"""From signs to complications: the order by hand from the table, and what is never left out."""

import csv
import itertools
from xml.etree import ElementTree

import pytest

from cubital import calc, tables
from cubital.explore.complications.site_signs import (
    ANSWERS,
    DRUGS,
    SignsAndCandidates,
    findings_of,
)
from cubital.items.complications.site_judgement import NOT_KNOWN, sign_words, signs_to_look_for
from cubital.tables import complications as rows

SVG = "{http://www.w3.org/2000/svg}"


def numbers(**state):
    return SignsAndCandidates(**state).show().numbers


def reading(label, **state):
    (found,) = (r for r in SignsAndCandidates(**state).show().readings if r.label == label)
    return found


@pytest.mark.parametrize(
    ("state", "first"),
    [
        ({"swelling": "runs", "touch": "cool", "drug": "sodium chloride 0.9 %"}, "infiltration"),
        ({"swelling": "runs", "touch": "cool", "drug": "noradrenaline"}, "extravasation"),
        (
            {"swelling": "runs", "touch": "cool", "drug": "potassium chloride, concentrated"},
            "extravasation",
        ),
        ({"touch": "warm", "skin_colour": "red", "pain": "along"}, "phlebitis"),
        ({"touch": "warm", "skin_colour": "hidden", "pain": "along"}, "phlebitis"),
        ({"swelling": "puncture", "skin_colour": "bruise"}, "haematoma"),
        ({"swelling": "none", "touch": "same", "flow": "hard"}, "occlusion"),
        ({"blood": "bright"}, "arterial_puncture"),
        ({"blood": "pulses", "swelling": "puncture"}, "arterial_puncture"),
        ({"pain": "electric"}, "nerve_contact"),
    ],
)
def test_typical_signs_put_the_complication_first(state, first):
    n = numbers(**state)
    assert n.first.key == first
    assert n.something


def test_scores_are_the_sums_of_the_printed_weights():
    state = {"swelling": "runs", "touch": "tight", "drug": "sodium chloride 0.9 %"}
    scores = {row.key: row.score for row in numbers(**state).candidates}
    with (tables.course_folder("assets") / "complications/signs.csv").open(
        encoding="utf-8"
    ) as file:
        listed = list(csv.DictReader(file))
    met = {"swelling>=minimal", "girth_differs", "cool", "tight", "fluid=none", "no warm"}
    side = {"for": 1, "against": -1, "neither": 0}
    for key, score in scores.items():
        by_hand = sum(
            side[row["speaks"]] * float(row["weight"])
            for row in listed
            if row["complication"] == key and row["condition"] in met
        )
        assert score == by_hand, key
    assert scores["infiltration"] == 3 + 3 + 3 + 2 + 1


def test_bars_are_as_long_as_the_scores():
    figure = SignsAndCandidates(swelling="runs", touch="cool", drug="sodium chloride 0.9 %")
    picture = figure.show()
    root = ElementTree.fromstring(picture.svg)
    bars = [line for line in root.iter(f"{SVG}line") if line.get("stroke-width") == "16"]
    long = [float(bar.get("x2")) - float(bar.get("x1")) for bar in bars]
    scores = [row.score for row in picture.numbers.candidates if row.score > 0]
    assert [round(length / long[0], 3) for length in long] == [
        round(score / scores[0], 3) for score in scores
    ]
    outlines = list(root.iter(f"{SVG}polyline"))
    assert len(outlines) == sum(row.score < 0 for row in picture.numbers.candidates)


def test_colour_that_skin_can_hide_counts_against_nothing():
    seen = {row.key: row.score for row in numbers(skin_colour="none").candidates}
    hidden = {row.key: row.score for row in numbers(skin_colour="hidden").candidates}
    assert seen["phlebitis"] < hidden["phlebitis"] == 0
    apart = ("phlebitis", "infiltration", {})
    assert ("blanched skin", "infiltration") in signs_to_look_for(*apart, hides=False)
    hidden_words = {rows.findings()[key].words for key in rows.skin().hidden}
    assert not hidden_words & {words for words, _ in signs_to_look_for(*apart, hides=True)}


def test_for_a_leak_the_drug_decides_and_until_it_is_known_the_catheter_stays():
    leak = {"swelling": "runs", "touch": "cool"}
    assert reading("Look next, to tell these two apart", **leak).value == "what runs in"
    first = reading("First, by local policy", **leak)
    assert first.value == "Stop the infusion."
    assert "Leave the catheter" in first.note
    for drug in DRUGS:
        local = calc.local_drug(drug)
        first = reading("First, by local policy", drug=drug, **leak)
        assert first.value.startswith("Stop the infusion")
        extravasation = numbers(drug=drug, **leak).first.key == "extravasation"
        assert ("Leave the catheter where it is" in first.value) == extravasation
        assert first.note == calc.drug_class_row(local.drug_class).differs


def test_artery_and_nerve_are_named_whatever_else_is_there():
    others = [
        {"swelling": swelling, "touch": touch, "flow": flow}
        for swelling, touch, flow in itertools.product(
            *(ANSWERS[q] for q in list(ANSWERS)[:2]), "-"
        )
    ]
    for other in others:
        assert "nerve_contact" in numbers(pain="electric", **other).missed
        assert "arterial_puncture" in numbers(blood="bright", **other).missed
        for sign, key, word in (
            ({"pain": "electric"}, "nerve contact", "do not probe or redirect"),
            ({"blood": "bright"}, "arterial puncture", "inject nothing"),
        ):
            # a whole row of signs of an inflamed vein does not outweigh these
            state = other | {"touch": "warm", "skin_colour": "red"} | sign
            assert numbers(**state).verdict == f"Stop: act as for {key}"
            assert word in reading("First, by local policy", **state).value
    both = {"pain": "electric", "blood": "pulses", "touch": "warm"}
    assert numbers(**both).verdict == "Stop: act as for arterial puncture and nerve contact"
    shown = reading("First, by local policy", pain="electric").value
    assert shown.startswith("Tourniquet off and needle out at once; do not probe or redirect.")
    shown = reading("First, by local policy", blood="pulses").value
    assert shown.startswith(
        "Stop, inject nothing, tourniquet off. Take the needle out and press firmly"
    )


@pytest.mark.parametrize("blood", ["bright", "pulses"])
@pytest.mark.parametrize("drug", DRUGS)
def test_where_a_drug_runs_a_catheter_in_an_artery_is_left_and_help_called(drug, blood):
    shown = reading("First, by local policy", blood=blood, drug=drug).value
    assert "A drug or a wide catheter already in: leave it, call for help." in shown
    assert "Take the needle out" not in shown


def test_signs_of_an_inflamed_vein_take_no_catheter_out_while_a_vesicant_runs():
    vein = {"touch": "warm", "pain": "along", "skin_colour": "red"}
    assert numbers(drug="noradrenaline", **vein).first.key == "phlebitis"
    shown = reading("First, by local policy", drug="noradrenaline", **vein)
    assert "Leave the catheter where it is, and do not flush." in shown.value
    assert "take the catheter out now" not in shown.value
    assert "take the catheter out now" in reading("First, by local policy", **vein).value


def test_that_it_does_not_pulsate_is_not_held_against_an_artery():
    bright = next(
        row for row in numbers(blood="bright").candidates if row.key == "arterial_puncture"
    )
    assert bright.speaks_against == ()
    assert bright.says_nothing == ("no blood or needle that pulsates",)


def test_signs_that_speak_for_one_and_against_the_other_come_first():
    # by the table: cool skin for infiltration (3), against phlebitis (2); cord for phlebitis alone
    (first, *_) = signs_to_look_for("phlebitis", "infiltration", {"blanched": False}, hides=False)
    assert first == ("cool skin", "infiltration")


def test_what_to_look_for_next_was_not_looked_for_and_speaks_differently():
    n = numbers(touch="warm", pain="along")
    words = {sign_words(row.words): key for key, row in rows.findings().items()}
    assert n.next
    for sign, towards in n.next:
        key = words[sign]
        assert key not in n.findings
        said = calc.signs_of(key)
        other = ({n.first.key, n.second.key} - {towards}).pop()
        order = {"against": -1, "neither": 0, "for": 1}
        assert order[said.get(towards, "neither")] > order[said.get(other, "neither")]


@pytest.mark.parametrize("drug", DRUGS)
def test_every_drug_is_an_example_of_a_class(drug):
    assert calc.local_drug(drug).drug_class is not None


def test_answers_are_findings_that_the_tables_know():
    for question, answers in ANSWERS.items():
        for key, (words, found) in answers.items():
            assert words, (question, key)
            calc.tell_apart(found)
    assert findings_of(SignsAndCandidates().state()) == {}
    assert numbers().something is False
    for drug in DRUGS:  # what runs in is no sign
        assert numbers(drug=drug).something is False
        assert numbers(drug=drug).missed == []
    assert numbers().drug == NOT_KNOWN


def test_alt_says_what_the_figure_shows_now():
    figure = SignsAndCandidates()
    assert "Nothing yet speaks for any of them" in figure.picture["alt"]
    figure.pain = "electric"
    assert "Stop: act as for nerve contact" in figure.picture["alt"]
    assert "nerve contact, 2 for, 0 against" in figure.picture["alt"]
