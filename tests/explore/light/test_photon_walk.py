"""Photons one by one: the button's run, what it is shown beside, and when it is shown."""

import math
from xml.etree import ElementTree

import pytest

from cubital import calc
from cubital.explore.light.photon_walk import DEPTHS_MM, PhotonRun, PhotonsOneByOne

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def figure():
    """A figure whose button was pressed twice, with the progress it reported."""
    shown = PhotonsOneByOne(photons=2_000)
    shown.seen = []
    shown.observe(lambda change: shown.seen.append(change["new"]), names="progress")
    shown.first = shown.run
    shown._pressed(shown, "act", [])
    shown.first = shown.run
    shown._pressed(shown, "act", [])
    return shown


def made_up(**changed):
    known = {
        "lumen_diameter_mm": 3.0,
        "melanin_percent": 5.0,
        "photons": 2_000,
        "seed": 4,
        "contrasts": (0.3, 0.2, 0.15, 0.1, 0.05),
        "errors": (0.01, 0.01, 0.005, 0.005, 0.0004),
    }
    return PhotonRun(**{**known, **changed})


def test_progress_climbs_to_the_end_once_a_run_and_then_rests(figure):
    starts = [place for place, value in enumerate(figure.seen) if value == -1]
    assert len(starts) == 2
    first = figure.seen[: starts[0]]
    assert first == sorted(first)
    assert first[-1] == 1
    assert len(first) > 20
    assert figure.progress == -1


def test_photons_agree_with_the_formula_within_their_error(figure):
    n = figure.show().numbers
    for quick, found, error in zip(n.formula, n.run.contrasts, n.run.errors, strict=True):
        assert abs(quick - found) < math.hypot(4 * error, 0.05 * quick)


def test_a_second_run_draws_new_photons(figure):
    assert figure.run.seed == figure.first.seed + 1
    assert figure.run.contrasts != figure.first.contrasts


def test_a_run_is_what_its_seed_makes_it(figure):
    found = calc.vein_shadows(
        calc.skin_layers(850, melanin_fraction=0.05),
        vein_medium=calc.blood_medium(850, oxygen_saturation=0.7, haematocrit=0.45),
        depths_mm=DEPTHS_MM,
        diameters_mm=[3.0],
        photons=2_000,
        seed=figure.run.seed,
        cores=2,
    )
    assert [s.contrast.value for s in found.shadows] == pytest.approx(figure.run.contrasts)
    assert [s.contrast.standard_error for s in found.shadows] == pytest.approx(figure.run.errors)


def test_a_run_is_shown_only_for_the_settings_it_was_made_for():
    figure = PhotonsOneByOne()
    figure.run = made_up()
    assert figure.show().readings[2].value.replace("\N{NO-BREAK SPACE}", " ") == "15.0 % ± 0.5"
    assert figure.picture["readings"] == figure.show().message()["readings"]
    figure.lumen_diameter_mm = 4
    assert figure.show().readings[2].value == "not run yet"
    assert "Settings changed: not run for 2,000 photons" in figure.picture["svg"]
    figure.lumen_diameter_mm = 3
    assert "± 0.5" in figure.show().readings[2].value


@pytest.mark.parametrize(
    "other", [{"melanin_percent": 6.0}, {"photons": 8_000}, {"lumen_diameter_mm": 2.0}]
)
def test_a_run_of_other_settings_draws_nothing(other):
    figure = PhotonsOneByOne()
    figure.run = made_up(**other)
    assert "<circle" not in figure.show().svg


def test_bars_reach_two_standard_errors_either_side_of_the_ring():
    figure = PhotonsOneByOne()
    figure.run = made_up()
    root = ElementTree.fromstring(figure.show().svg)
    rings = list(root.iter(f"{SVG}circle"))
    bars = [
        line
        for line in root.iter(f"{SVG}line")
        if line.get("stroke-width") == "2" and line.get("x1") == line.get("x2")
    ]
    px_per_share = 212 / 0.5
    for ring, bar, contrast, error in zip(
        rings, bars, made_up().contrasts, made_up().errors, strict=True
    ):
        ends = sorted(float(bar.get(key)) for key in ("y1", "y2"))
        assert (ends[1] - ends[0]) / px_per_share == pytest.approx(4 * error, abs=5e-4)
        assert (262 - float(ring.get("cy"))) / px_per_share == pytest.approx(contrast, abs=5e-4)


def test_a_small_error_is_not_written_as_nought():
    figure = PhotonsOneByOne()
    figure.run = made_up()
    assert figure.show().readings[4].value.endswith("± 0.04")


def test_farthest_is_counted_in_standard_errors():
    figure = PhotonsOneByOne()
    n = figure.show().numbers
    figure.run = made_up(contrasts=(*n.formula[:-1], n.formula[-1] + 0.001))
    assert figure.show().readings[-1].value == "2.5 standard errors"  # 0.001 over 0.0004


def test_alt_says_what_the_figure_shows_now():
    figure = PhotonsOneByOne()
    assert figure.picture["alt"].endswith("No points are drawn.")
    figure.run = made_up()
    assert "2,000 photons say 15.0 % ± 0.5" in figure.picture["alt"]
    assert "6 mm 5.0 % ± 0.04" in figure.picture["alt"]
