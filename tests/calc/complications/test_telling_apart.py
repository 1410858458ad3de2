"""Laws of scales and of telling complications apart, and the tables behind them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cubital import calc, tables
from cubital.calc.complications import findings as conditions
from cubital.tables import complications as rows

SCALES = {
    "infiltration": calc.infiltration_grade,
    "extravasation": calc.extravasation_grade,
    "phlebitis": calc.phlebitis_grade,
    "vip": calc.visual_phlebitis_score,
}
FINDINGS = rows.findings()
LEAKS = ("infiltration", "extravasation")


def values(row):
    """Return a strategy for a finding, from nothing to the worst."""
    if row.unit:
        return st.floats(0, 500)
    return st.sampled_from(row.levels) if row.levels else st.booleans()


def found(keys=FINDINGS):
    return st.fixed_dictionaries({}, optional={key: values(FINDINGS[key]) for key in keys})


def worse(row, value, step):
    """Return the same finding, worse by a step."""
    if row.unit:
        return min(500, value + 20 * step)
    if row.levels:
        return row.levels[min(len(row.levels) - 1, row.levels.index(value) + step)]
    return True


@pytest.mark.parametrize("grade", SCALES.values(), ids=SCALES)
@settings(max_examples=50)
@given(st.data())
def test_a_worse_finding_never_lowers_a_grade(grade, data):
    before = data.draw(found())
    key = data.draw(st.sampled_from([*FINDINGS]))
    row = FINDINGS[key]
    none = 0.0 if row.unit else row.levels[0] if row.levels else False
    after = before | {key: worse(row, before.get(key, none), data.draw(st.integers(1, 4)))}
    assert grade(after).grade >= grade(before).grade


@pytest.mark.parametrize("grade", SCALES.values(), ids=SCALES)
@settings(max_examples=50)
@given(found())
def test_nothing_found_and_not_looked_for_give_the_same_grade(grade, before):
    present = {
        key: value
        for key, value in before.items()
        if conditions.checked_findings({key: value})[key]
    }
    assert grade(before).grade == grade(present).grade


@pytest.mark.parametrize(("key", "grade"), SCALES.items(), ids=SCALES)
@settings(max_examples=50)
@given(st.data())
def test_a_grade_is_a_row_of_its_scale_with_reasons_standing_and_caution(key, grade, data):
    result = grade(data.draw(found()))
    scale = rows.scales()[key]
    assert result.words == scale.grades[result.grade].words
    assert bool(result.because) == (result.grade > 0)
    assert result.standing == scale.standing
    assert result.caution == rows.caution()
    assert result.highest == len(scale.grades) - 1


@pytest.mark.parametrize("grade", SCALES.values(), ids=SCALES)
def test_no_sign_is_grade_0_and_every_sign_the_highest(grade):
    worst = {
        key: worse(row, row.levels[0] if row.levels else 0, 25) for key, row in FINDINGS.items()
    }
    assert grade({}).grade == 0
    assert grade(worst).grade == grade(worst).highest


@given(found())
def test_what_harms_tissue_is_never_graded_lower_and_worst_once_anything_is_found(before):
    plain = calc.infiltration_grade(before).grade
    for drug in ("irritant", "vasopressor", "blood"):
        harmful = calc.infiltration_grade(before, drug_class=drug).grade
        assert harmful == (4 if plain else 0)


def test_a_sign_without_the_others_of_its_row_is_named():
    result = calc.visual_phlebitis_score({"cord_mm": 30.0})
    assert (result.grade, result.by_own_rule) == (1, True)
    assert result.by_rule_only == ("length of the palpable cord",)
    assert "have it looked at" in result.remarks[0]


@pytest.mark.parametrize("grade", SCALES.values(), ids=SCALES)
@settings(max_examples=50)
@given(found())
def test_no_sign_both_counts_and_does_not(grade, before):
    result = grade(before)
    assert not set(result.because) & set(result.not_placed)


# signs of a person, of a line, of a needle, of a picture; and blood that returns
NO_SIGN_OF_A_LEAK = {
    *("fever", "extensive", "kink_or_clamp", "blood_return"),
    *("bright_blood", "pulsating_blood", "fast_flow", "dark_slow_blood"),
    *(key for key, row in FINDINGS.items() if row.from_picture),
}
# signs that the older infiltration scale has in its rows 3 and 4 (ins-2006, memory)
GRAVE = ("tight", "leaking", "numb", "deep_pitting", "translucent", "poor_circulation", "blister")


@pytest.mark.parametrize("key", sorted({*FINDINGS} - NO_SIGN_OF_A_LEAK))
def test_every_sign_at_the_site_is_at_least_grade_1_of_an_extravasation(key):
    row = FINDINGS[key]
    for value in row.levels[1:] or ((1.0, 40.0) if row.unit else (True,)):
        assert calc.extravasation_grade({key: value}).grade >= 1, value


@pytest.mark.parametrize("found", [{"pain": "severe"}, *({key: True} for key in GRAVE)])
def test_what_is_grave_on_the_infiltration_scale_is_at_least_3_as_an_extravasation(found):
    result = calc.extravasation_grade(found)
    assert result.grade >= 3
    assert result.by_own_rule


HIDDEN_4 = {"swelling": "marked", "cool": True, "tight": True, "pain": "severe", "oedema_mm": 100.0}


def test_where_blanching_cannot_be_seen_a_cool_tight_marked_swelling_is_not_graded_below_3_to_4():
    """With blanching the printed row 4 is met; that nobody can see it takes nothing away."""
    seen = calc.extravasation_grade(HIDDEN_4 | {"blanched": True})
    assert (seen.grade, seen.up_to) == (4, 4)
    hidden = calc.extravasation_grade(HIDDEN_4, skin_hides_colour=True)
    assert (hidden.grade, hidden.up_to) == (3, 4)
    assert any("cannot be graded lower" in remark for remark in hidden.remarks)
    assert hidden.not_placed == ()
    assert "3 to 4: blanching cannot be seen" in hidden.rule
    for part in ({"cool": False}, {"swelling": "moderate"}, {"tight": False, "pain": "moderate"}):
        less = calc.extravasation_grade(HIDDEN_4 | part, skin_hides_colour=True)
        assert less.up_to == less.grade
    absent = calc.extravasation_grade(HIDDEN_4 | {"blanched": False})
    assert absent.up_to == absent.grade


@pytest.mark.parametrize("grade", SCALES.values(), ids=SCALES)
@settings(max_examples=50)
@given(found())
def test_only_hidden_colour_leaves_a_grade_open(grade, before):
    assert grade(before).up_to == grade(before).grade
    if grade is not SCALES["infiltration"]:
        assert grade(before, skin_hides_colour=True).up_to >= grade(before).grade


def test_a_leak_ends_with_no_needless_catheter_and_with_none_in_a_barred_limb():
    last = calc.first_actions("infiltration").steps[-1]
    assert last.startswith("If one is still needed")
    assert "never in one with a restriction" in last


def test_what_a_patient_cannot_be_without_goes_on_by_another_good_vein_until_there_is_better():
    steps = " ".join(calc.first_actions("extravasation").steps)
    assert "take it off the hub" in steps
    assert "by another good vein" in steps
    assert "never below the leak, while a central line is asked for" in steps


def test_first_actions_without_a_grade_are_common_practice_and_those_by_grade_the_tables():
    assert calc.first_actions("extravasation")[2:4] == ("common practice", "common-practice")
    graded = calc.first_actions("extravasation", grade=3)
    assert graded[2:4] == ("guideline", "extravasation-table")


def test_where_skin_tone_hides_colour_the_grade_says_so_and_only_there():
    site = {"redness": "none", "warm": True}
    assert calc.phlebitis_grade(site).remarks == ()
    (remark,) = calc.phlebitis_grade(site, skin_hides_colour=True).remarks
    assert all(word in remark for word in ("warmth", "firmness", "pain", "other limb", "too low"))
    red = site | {"redness": "slight"}
    assert calc.phlebitis_grade(red, skin_hides_colour=True).remarks == ()


@given(found(), st.sampled_from([None, *rows.drug_classes()]), st.booleans())
def test_no_complication_is_ever_ruled_out(before, drug, hides):
    result = calc.tell_apart(before, drug_class=drug, skin_hides_colour=hides)
    assert {row.key for row in result.candidates} == {*rows.complications()}
    scores = [row.score for row in result.candidates]
    assert scores == sorted(scores, reverse=True)
    assert "never rules out infiltration" in result.remarks[0]
    assert result.caution == rows.caution()
    assert all(row.first_actions for row in result.candidates)


@given(found(), st.data())
def test_a_finding_on_the_picture_never_counts_against_a_leak(before, data):
    pictures = [key for key, row in FINDINGS.items() if row.from_picture]
    before = {key: value for key, value in before.items() if key not in pictures}
    seen = data.draw(st.fixed_dictionaries({key: st.booleans() for key in pictures}))
    bare, shown = (
        {row.key: row for row in calc.tell_apart(part).candidates}
        for part in (before, before | seen)
    )
    for leak in LEAKS:
        assert shown[leak].score >= bare[leak].score
        assert shown[leak].speaks_against == bare[leak].speaks_against


@given(found())
def test_missing_colour_counts_against_nothing_where_skin_tone_hides_it(before):
    absent = dict.fromkeys(("blanched", "streak", "bruised"), False) | {"redness": "none"}
    hidden, unseen = (
        calc.tell_apart(part, skin_hides_colour=True).candidates
        for part in (before | absent, {k: v for k, v in before.items() if k not in absent})
    )
    assert hidden == unseen


@given(found())
def test_the_drug_names_the_leak(before):
    for drug, name in (("plain", "infiltration"), ("binding", "extravasation")):
        other = {"infiltration": "extravasation", "extravasation": "infiltration"}[name]
        unknown, known = (
            {row.key: row.score for row in calc.tell_apart(before, drug_class=d).candidates}
            for d in (None, drug)
        )
        assert known[name] > unknown[name]
        assert known[other] < unknown[other]


def test_nothing_found_says_look_again():
    assert any("look again" in text for text in calc.tell_apart({}).remarks)


# Worked by hand from textbook pictures of each; no one of them is a test of patients.
VIGNETTES = {
    "infiltration": (
        {"swelling": "moderate", "cool": True, "tight": True, "girth_differs": True},
        "plain",
    ),
    "extravasation": (
        {"swelling": "mild", "burning": True, "blanched": True, "pain": "moderate"},
        "vasopressor",
    ),
    "phlebitis": (
        {"warm": True, "pain_along_vein": True, "cord_mm": 20.0, "redness": "none"},
        "irritant",
    ),
    "haematoma": ({"swelling_on_advance": True, "bruised": True, "pain": "slight"}, None),
    "occlusion": (
        {"hard_to_flush": True, "slow_flow": True, "swelling": "none", "cool": False},
        "plain",
    ),
    "arterial_puncture": (
        {"bright_blood": True, "fast_flow": True, "pulsating_blood": False},
        None,
    ),
    "nerve_contact": ({"electric_pain": True, "tingling": True, "pain": "severe"}, None),
}


@pytest.mark.parametrize("key", VIGNETTES)
def test_a_plain_case_comes_first(key):
    before, drug = VIGNETTES[key]
    first, second, *_ = calc.tell_apart(before, drug_class=drug).candidates
    assert first.key == key
    assert first.score > second.score


def test_first_actions_of_an_extravasation_leave_the_catheter_in_from_grade_3():
    mild, grave = (calc.first_actions("extravasation", grade=grade) for grade in (2, 3))
    assert any("Take out" in step for step in mild.steps)
    assert any("Leave the catheter" in step for step in grave.steps)
    assert not any("Take out" in step for step in grave.steps)
    assert grave.caution == rows.caution()


@pytest.mark.parametrize("key", rows.complications())
def test_every_complication_has_first_actions_with_their_kind_and_the_caution(key):
    actions = calc.first_actions(key)
    assert len(actions.steps) > 2
    assert actions.kind in tables.KINDS
    assert actions.caution == (
        "For training. Local policy, the device's instructions for use and licensed practice "
        "decide."
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: calc.tell_apart({"cold": True}), "no finding is called 'cold'"),
        (lambda: calc.tell_apart({"cool": "yes"}), "cool skin is 'yes': it must be True or False"),
        (lambda: calc.tell_apart({"cool": 1}), "it must be True or False"),
        (lambda: calc.phlebitis_grade({"pain": True}), "must be one of none, slight"),
        (lambda: calc.phlebitis_grade({"cord_mm": -1}), "length of the palpable cord is -1 mm"),
        (lambda: calc.infiltration_grade({}, drug_class="acid"), "drug_class is 'acid'"),
        (lambda: calc.first_actions("bad luck"), "complication is 'bad luck'"),
        (lambda: calc.first_actions("phlebitis", grade=2), "by grade none"),
        (lambda: calc.first_actions("extravasation", grade=5), "by grade 1, 2, 3, 4"),
        (lambda: calc.look_for_instead("hue"), "no finding is called 'hue'"),
        (lambda: calc.signs_of("hue"), "no finding is called 'hue'"),
        (lambda: conditions.is_met("cool!", {}), "cannot be read"),
    ],
)
def test_what_is_not_in_the_tables_is_impossible(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def every_condition():
    for scale in rows.scales().values():
        for row in scale.grades:
            yield from (part for group in row.needs for part in group)
            yield from row.or_any
    yield from (sign.condition for sign in rows.signs())


def test_every_condition_is_about_a_known_finding_and_every_finding_is_used():
    keys = {conditions.key_of(part) for part in every_condition()} - {conditions.FLUID}
    assert keys == {*FINDINGS}


def test_every_condition_has_words():
    for part in every_condition():
        words = conditions.words_of(part)
        assert words
        assert "_" not in words
        assert ">" not in words


def test_every_text_table_says_its_kind_source_and_how_far_it_was_seen():
    parts = [*rows.scales().values(), *rows.complications().values(), rows.skin()]
    for part in parts:
        assert part.kind in tables.KINDS
        assert part.seen in tables.SEEN
        assert part.source in tables.bibliography()
    for scale in rows.scales().values():
        assert scale.standing_source in tables.bibliography()
        assert len(scale.standing) > 40
        assert [row.grade for row in scale.grades] == [*range(len(scale.grades))]


def test_every_sign_is_of_a_complication_and_weighs_only_if_it_speaks():
    for sign in rows.signs():
        assert sign.complication in rows.complications()
        assert sign.speaks in {"for", "against", "neither"}
        assert (sign.weight > 0) == (sign.speaks != "neither")
    pairs = [(sign.complication, sign.condition) for sign in rows.signs()]
    assert len(set(pairs)) == len(pairs)


def test_every_class_of_drug_harms_as_some_tissue_word_and_has_examples():
    for row in rows.drug_classes().values():
        assert row.tissue in {"none", "irritant", "vesicant", "blood"}
        assert row.examples
        assert calc.drug_class_row(row.key) is row


def test_a_finding_says_for_which_complications_it_speaks():
    assert calc.signs_of("blood_return") == {
        "infiltration": "neither",
        "extravasation": "neither",
        "occlusion": "against",
    }


def test_what_skin_tone_cannot_hide_needs_nothing_instead():
    assert calc.look_for_instead("cool") == (False, (), "")
    assert calc.look_for_instead("blanched").can_be_hidden


def test_what_was_not_looked_for_speaks_neither_for_nor_against():
    for row in calc.tell_apart({}).candidates:
        assert (row.score, row.speaks_for, row.speaks_against, row.says_nothing) == (0, (), (), ())
    looked = calc.tell_apart({"redness": "none"}).candidates
    assert {row.key: row.speaks_against for row in looked}["phlebitis"] == ("no redness",)


def test_signs_in_the_order_of_newmans_counts():
    """Fast 11, bright 9, pulsating 4: but a pulse, when there, is the surest, so it weighs most."""
    weights = {
        sign.condition: sign.weight
        for sign in rows.signs()
        if sign.complication == "arterial_puncture" and sign.speaks == "for"
    }
    assert weights["fast_flow"] >= weights["bright_blood"]
    assert weights["pulsating_blood"] > weights["fast_flow"]


def test_how_many_studies_of_phlebitis_define_nothing():
    """ray-barruel-2014 (abstract): 53 of 233."""
    assert "of 233 studies of phlebitis 53" in rows.scales()["phlebitis"].standing
