"""The local list of vesicants and the classes of drugs: the list decides upwards."""

import pytest

from cubital import calc, tables
from cubital.tables import complications as rows

LISTED = tables.profile().vesicants
EXAMPLES = {drug: row for row in rows.drug_classes().values() for drug in row.examples}


@pytest.mark.parametrize("drug", LISTED)
def test_what_the_local_list_names_is_a_vesicant_and_has_a_class(drug):
    found = calc.local_drug(drug)
    assert (found.tissue, found.is_listed) == ("vesicant", True)
    assert drug in EXAMPLES
    assert found.drug_class == EXAMPLES[drug].key


@pytest.mark.parametrize("drug", EXAMPLES)
def test_without_a_list_the_class_decides_and_a_list_makes_any_drug_a_vesicant(drug):
    alone = calc.local_drug(drug, vesicants=())
    assert (alone.tissue, alone.is_listed) == (EXAMPLES[drug].tissue, False)
    named = calc.local_drug(drug, vesicants=[drug.upper()])
    assert (named.tissue, named.is_listed) == ("vesicant", True)


def test_words_say_when_list_and_class_differ():
    over = calc.local_drug("potassium chloride, concentrated")
    assert (over.class_tissue, over.tissue) == ("irritant", "vesicant")
    assert "its class counts as irritant: the local list decides" in over.words
    left_out = calc.local_drug("adrenaline")
    assert (left_out.is_listed, left_out.tissue) == (False, "vesicant")
    assert "ask the pharmacist" in left_out.words
    assert "harmless to tissue" in calc.local_drug("glucose 5 %", vesicants=["glucose 5 %"]).words
    assert calc.local_drug("amiodarone").words == "Not on the local list."


def test_a_name_in_no_list_is_unknown_and_no_name_is_refused():
    found = calc.local_drug("honey")
    assert (found.drug_class, found.class_tissue, found.tissue) == (None, None, "unknown")
    assert "ask the pharmacist" in found.words
    with pytest.raises(ValueError, match="drug is empty"):
        calc.local_drug(" ")


def test_the_list_turns_an_infiltration_into_an_extravasation():
    swollen = {"swelling": "mild", "cool": True}
    by_class = calc.tell_apart(swollen, drug_class="irritant").candidates[0]
    by_list = calc.tell_apart(swollen, drug="potassium chloride, concentrated").candidates
    assert by_class.key == "infiltration"
    scores = {row.key: row.score for row in by_list}
    # by the table: extravasation 3 + 1 + 3, infiltration 3 + 3 - 2
    assert (scores["extravasation"], scores["infiltration"]) == (7, 4)


def test_a_drug_in_no_list_is_as_one_that_is_not_known():
    found = calc.tell_apart({"cool": True}, drug="honey")
    assert found == calc.tell_apart({"cool": True})
    assert any("find out first" in text for text in found.remarks)


def test_a_listed_drug_is_graded_worst_in_any_amount():
    site = {"oedema_mm": 10}
    assert calc.infiltration_grade(site).grade == 1
    assert calc.infiltration_grade(site, drug="calcium chloride").grade == 4
    assert calc.infiltration_grade(site, drug="sodium chloride 0.9 %").grade == 1
