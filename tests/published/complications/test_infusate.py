"""Osmolarities against printed labels and tables, limits as printed, dilution by mixing.

fluid-labels (read): composition and calculated osmolarity of injections. fluids-2018 (read): the
table of common solutions. osmolarity-sums (read): worked sums. Molar masses: 58.44 sodium chloride,
180.16 glucose, 198.17 its monohydrate, 74.55 potassium chloride, 147.01 calcium chloride dihydrate.
"""

import pint
import pytest

from cubital import calc
from cubital.tables import complications

SALT, SUGAR, WET_SUGAR, POTASSIUM, CALCIUM = (
    {"solute_g_per_mol": mass, "particles": particles}
    for mass, particles in ((58.44, 2), (180.16, 1), (198.17, 1), (74.55, 2), (147.01, 3))
)
LABELS = [
    ([(4.5, SALT)], 154),
    ([(9, SALT)], 308),
    ([(30, SALT)], 1027),
    ([(50, SALT)], 1711),
    ([(50, SUGAR)], 278),
    ([(100, SUGAR)], 556),
    ([(50, WET_SUGAR)], 252),
    ([(100, WET_SUGAR)], 505),
    ([(50, WET_SUGAR), (9, SALT)], 560),
    ([(25, WET_SUGAR), (4.5, SALT)], 280),
    ([(100, WET_SUGAR), (9, SALT)], 813),
    ([(50, WET_SUGAR), (4.5, SALT)], 406),
    ([(50, WET_SUGAR), (2, SALT)], 321),
    ([(149, POTASSIUM)], 4000),
    ([(100, CALCIUM)], 2040),
]


@pytest.mark.parametrize(("solutes", "printed"), LABELS)
def test_the_sum_is_the_one_on_the_label(solutes, printed):
    total = sum(calc.osmolarity_from_solute_mosm_per_l(grams, **row) for grams, row in solutes)
    assert total == pytest.approx(printed, abs=1 + printed * 1e-3)


@pytest.mark.parametrize(
    ("key", "osmolarity", "ph"),
    [
        ("saline-0.45", 154, 5.6),
        ("saline-0.9", 308, 5.0),
        ("saline-3", 1027, 5.0),
        ("glucose-5", 278, 4.0),
        ("glucose-10", 556, 4.0),
        ("glucose-5-saline", 560, 4.0),
        ("calcium-chloride-10", 2040, 6.5),
    ],
)
def test_the_table_is_as_printed(key, osmolarity, ph):
    row = complications.infusates()[key]
    assert (row.osmolarity_mosm_per_l, row.ph) == (osmolarity, ph)


# rnao-2008 (read): below 500 mOsm/L, pH 5 to 9. ins-2011 (second-hand): at most 600, pH 5 to 9.
# admixtures-2021 (abstract): flagged above 600, below pH 4 or above 9. fluid-labels (read): 600 and
# more may harm a vein. ins-2021 (memory): above 900 not by a peripheral vein, no rule on pH.
@pytest.mark.parametrize(
    ("osmolarity", "ph", "flagged"),
    [
        (308, 7, set()),
        (499, 5, set()),
        (500, 7, {"rnao"}),
        (599, 7, {"rnao"}),
        (600, 7, {"rnao", "label"}),
        (601, 7, {"rnao", "label", "ins-2011", "admixtures"}),
        (900, 7, {"rnao", "label", "ins-2011", "admixtures"}),
        (901, 7, {"rnao", "label", "ins-2011", "admixtures", "ins-2021"}),
        (308, 4.9, {"rnao", "ins-2011"}),
        (308, 3.9, {"rnao", "ins-2011", "admixtures"}),
        (308, 9.1, {"rnao", "ins-2011", "admixtures"}),
    ],
)
def test_the_limits_are_as_printed_and_disagree(osmolarity, ph, flagged):
    assert set(calc.screen_infusate(osmolarity, ph=ph).flagged_by) == flagged


def test_dilution_is_what_stirring_two_volumes_gives():
    """A second way: amounts in a minute by the pint library, its own units and conversions."""
    unit = pint.UnitRegistry()
    minute = 1 * unit.minute
    infusion, blood = 150 * unit.mL / unit.hour * minute, 25 * unit.mL / unit.minute * minute
    amount = infusion * 1110 * unit.mmol / unit.L + blood * 285 * unit.mmol / unit.L
    mixed = (amount / (infusion + blood)).to("mmol/L").magnitude
    ours = calc.diluted_osmolarity_mosm_per_l(
        1110, rate_ml_per_h=150, vein_flow_ml_per_min=25, blood_osmolarity_mosm_per_l=285
    )
    assert ours == pytest.approx(mixed)
