"""Veins against published measurements."""

import numpy as np
import pint
import pytest

from cubital import calc, tables
from cubital.tables import reading as rows

# mollison-2006 (abstract): cephalic vein at the wrist, 20 volunteers, cross-section in mm2.
MOLLISON_REST, MOLLISON_25_MMHG = 8.22, 10.71


def test_mollisons_areas_at_25_mmhg():
    measured = MOLLISON_25_MMHG / MOLLISON_REST
    assert calc.distended_area_share(25) == pytest.approx(measured, abs=0.005)
    sizes = rows.vein_sizes()
    rest, cuffed = sizes["adult-wrist"].diameter_mm, sizes["adult-wrist-cuff"].diameter_mm
    assert np.pi / 4 * rest**2 == pytest.approx(MOLLISON_REST, rel=0.005)
    assert np.pi / 4 * cuffed**2 == pytest.approx(MOLLISON_25_MMHG, rel=0.005)
    assert calc.distended_diameter_mm(rest, cuff_mmhg=25) == pytest.approx(cuffed, abs=0.02)


def test_sasakis_order_of_pressures():
    """sasaki-2012 (abstract): area rises up to 80 mmHg; at 100 mmHg it is below that at 40."""
    areas = calc.distended_area_share(np.array([0, 20, 40, 60, 80]))
    assert (np.diff(areas) > 0).all()
    assert 1 < calc.distended_area_share(100) < calc.distended_area_share(40)


def test_sasakis_time_course():
    """sasaki-2012 (abstract): fast until 10 s, gradual until 30 s, not remarkable after that."""
    start, ten, thirty, end = (calc.distension_progress(t) for t in (0, 10, 30, 120))
    assert (ten - start) / 10 > 3 * (thirty - ten) / 20
    assert end - thirty < 0.05


def test_mahlers_basilic_vein():
    """mahler-2011 (abstract): +17 %, 0.87 mm (0.70 to 1.04), with a blood pressure cuff."""
    rest = rows.vein_sizes()["adult-basilic"].diameter_mm
    assert 0.17 * rest == pytest.approx(0.87, abs=0.005)
    row = next(row for row in rows.distension() if row.cuff_mmhg == 60)
    assert np.sqrt(row.area_low) - 1 < 0.17 < np.sqrt(row.area_high) - 1


@pytest.mark.parametrize(
    ("tension", "pressure"), [(1.5, 20), (2, 40), (2.5, 65), (3, 90), (3.5, 120)]
)
def test_tension_and_pressure_of_a_tourniquet(tension, pressure):
    """tourniquet-tension-2009 (abstract)."""
    assert calc.tourniquet_pressure_mmhg(tension) == pressure


def test_tension_and_pressure_are_almost_linear():
    """tourniquet-tension-2009 (abstract) says so of its own points."""
    points = [row for row in rows.tensions() if row.tension_kg]
    r = np.corrcoef([row.tension_kg for row in points], [row.cuff_mmhg for row in points])[0, 1]
    assert r > 0.99


def test_the_share_of_a_cuffs_pressure_that_stands_in_a_hand_vein():
    """hand-vein-cuff-2007 (abstract): on average 70 to 80 %."""
    shares = [tables.constant(f"vein-pressure-share-{end}").value for end in ("low", "high")]
    assert shares == [0.70, 0.80]


def test_a_warmed_wrist_vein_takes_more_than_a_cold_one():
    """van-bemmelen-2005 (abstract): a quarter below 2 mm at rest, all above 3.1 mm when warmed.

    At a limit of 0.45 the first takes no 22G by its upper diameter, the second a 20G.
    """
    limit = tables.profile().ratio_limit
    cold, warm = (calc.largest_outer_diameter_mm(d, ratio_limit=limit) for d in (2.0, 3.1))
    assert cold < calc.gauge(22).outer_upper_mm
    assert warm > calc.gauge(20).outer_upper_mm


# riera-2011 (abstract): 0 to 3 years, width and depth in mm.
# takeshita-2015 (abstract): below 20 kg.
@pytest.mark.parametrize(
    ("key", "width", "depth"),
    [
        ("child-hand", 1.8, 1.4),
        ("child-elbow", 2.8, 1.6),
        ("child-saphenous", 2.8, 1.9),
        ("small-child-cephalic", 1.8, None),
        ("small-child-hand", 1.5, None),
        ("small-child-saphenous", 1.5, None),
    ],
)
def test_veins_of_children(key, width, depth):
    row = rows.vein_sizes()[key]
    assert (row.diameter_mm, row.depth_mm, row.age_group) == (width, depth, "child")


def test_velocity_by_another_librarys_units():
    """A second way: pint's own conversions."""
    unit = pint.UnitRegistry()
    velocity = (18 * unit.mL / unit.minute / (np.pi / 4 * (2.6 * unit.mm) ** 2)).to("mm/s")
    ours = calc.vein_velocity_mm_per_s(18, vein_diameter_mm=2.6)
    assert ours == pytest.approx(velocity.magnitude)


def test_harveys_vein_stays_empty_between_finger_and_valve():
    """harvey-1628 (memory): stroked past a valve, the part below it stays empty until released."""
    part = calc.emptied_segment(0, stroked_to_mm=120, valve_mm=[60, 100, 150])
    assert (part.from_mm, part.to_mm) == (0, 100)
    unheld = calc.emptied_segment(0, stroked_to_mm=50, valve_mm=[60, 100, 150])
    assert unheld.to_mm == unheld.from_mm
