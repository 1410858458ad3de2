"""The short lesson on taking blood: every number it states, and what it leaves to local policy."""

import pytest

from cubital import tables
from cubital.tables import complications

from .stated import assert_written, pairs, unchecked, words_of

NAME = "84-blood-sampling"
TRUE, POTASSIUM = 5.0, 4.0  # mmol/L, of somebody healthy
PARTS = 20  # one of them comes from the drip
GLUCOSE = complications.infusates()["glucose-5"].osmolarity_mosm_per_l  # a mole is an osmole


def mixed(true, dripped):
    return ((PARTS - 1) * true + dripped) / PARTS


# cell: (words in it, ..., each with the numbers in it); those of studies as the abstracts have them
STATED = {
    "whose-blood": {"of nearly 700,000 samples": (700_000,)},  # wrong-blood-page
    "read-whose-blood": {"about 1 in 2,000": (1, 2000)},
    "which-arm": {
        "the true glucose is 5.0 mmol/L": (TRUE,),
        "1 part in 20 is glucose 5 % from the drip, which holds 278 mmol/L": (
            1,
            PARTS,
            5,
            GLUCOSE,
        ),
    },
    "read-which-arm": {
        "18.7 mmol/L (19 parts of 5.0 and 1 part of 278, divided by 20)": (
            mixed(TRUE, GLUCOSE),
            PARTS - 1,
            TRUE,
            1,
            GLUCOSE,
            PARTS,
        ),
        "A potassium of 4.0 becomes 3.8 mmol/L": (POTASSIUM, mixed(POTASSIUM, 0)),
    },
    "tourniquet": {"in 31 healthy people it stayed on for 3 minutes": (31, 3)},  # mcnair-1979
    "read-tourniquet": {
        "5 to 13 %, and calcium": (5, 13),
        # saleem-2009
        "Of 353 blood draws, 6.5 % gave haemolysis": (353, 6.5),
        "the odds were 19.5 times as high (5.6 to 67.4": (19.5, 5.6, 67.4),
    },
    "what-light-helps": {"53 had the light as a routine and 62 did not": (53, 62)},
    "read-what-light-helps": {
        "in 10 of 80 without the light and in 1 of 45 with it": (10, 80, 1, 45),  # cuper-2011
    },
}


@pytest.fixture(scope="module")
def words(lessons):
    return words_of(lessons[NAME])


@pytest.mark.parametrize(("cell", "stated"), pairs(STATED))
def test_number_in_the_prose_is_the_computed_one(words, cell, stated):
    assert_written(words[cell], stated, STATED[cell][stated])


def test_no_number_in_the_prose_is_left_unchecked(lessons):
    assert unchecked(lessons[NAME], STATED) == {}


def test_numbers_of_studies_are_those_that_the_bibliography_notes():
    noted = {key: row.text for key, row in tables.bibliography().items()}
    assert (
        "about 1 in 2,000, of nearly 700,000 samples in 10 countries" in noted["wrong-blood-page"]
    )
    assert "31 healthy people before and after 3 minutes" in noted["mcnair-1979"]
    assert "115 children of 0 to 18 years, 53 with the light" in noted["blood-centre-2018"]
    assert 53 + 62 == 115
    assert "First 80 children without it, then 45 with it" in noted["cuper-2011"]


def test_the_vein_of_the_question_is_turned_down_for_what_runs_below_it(words):
    assert "a hand's width above the drip" in words["question"]
    assert "never above a running infusion" in words["which-arm"]
    assert "go **below** it" in words["read-which-arm"]
    assert "the best in the picture, and the wrong one" in words["read-what-light-helps"]


def test_order_colours_and_tourniquet_are_left_to_the_laboratory_and_local_policy(words):
    assert "the local laboratory's" in words["order-of-tubes"]
    assert "Read the list on your own wall" in words["order-of-tubes"]
    assert "for about a minute; local policy sets it" in words["read-tourniquet"]
    assert "your laboratory decides" in words["whose-blood"]


def test_cultures_come_first_and_the_elbow_is_a_place_for_a_sample_and_not_for_a_catheter(words):
    assert "Bottles for blood cultures usually come before all tubes" in words["order-of-tubes"]
    elbow = words["read-what-light-helps"]
    assert "A catheter spares the crease of the elbow" in elbow
    assert "Artery and nerves are near there, so feel for a pulse first" in elbow


def test_what_to_do_in_a_faint_is_marked_as_common_practice(words):
    assert "*common practice, no source*" in words["fainting"]
