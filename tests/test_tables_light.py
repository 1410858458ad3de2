"""The tables of light in tissue and of exposure: in order, sourced, and each source used."""

import csv
import re
import tomllib
from itertools import pairwise
from pathlib import Path

import pytest

from cubital import tables
from cubital.tables import exposure, tissue

ASSETS = tables.course_folder("assets")
CHECKOUT = Path(__file__).parents[1]
TOPICS = ("tissue", "exposure")


def rows_of(topic):
    for path in sorted(ASSETS.glob(f"{topic}*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            yield from csv.DictReader(file)
    for name in ("constants", "limits"):
        yield from tomllib.loads((ASSETS / f"{name}-{topic}.toml").read_text("utf-8")).values()


@pytest.mark.parametrize("topic", TOPICS)
def test_every_row_says_kind_source_and_how_far_that_was_seen(topic):
    for row in rows_of(topic):
        marks = {mark: [v for k, v in row.items() if k.endswith(mark)] for mark in ("kind", "seen")}
        sources = [v for k, v in row.items() if k.endswith("source")]
        assert sources
        assert set(sources) <= {*tables.bibliography()}
        assert marks["kind"]
        assert set(marks["kind"]) <= {*tables.KINDS}
        assert marks["seen"]
        assert set(marks["seen"]) <= {*tables.SEEN}
    assert all(r.source in tables.bibliography() for r in exposure.light_sources().values())


@pytest.mark.parametrize("topic", TOPICS)
def test_every_source_is_used_outside_the_bibliography(topic):
    used = "\n".join(
        path.read_text("utf-8")
        for folder in ("assets", "grader", "tests")
        for path in (CHECKOUT / folder).rglob("*")
        if path.suffix in {".csv", ".toml", ".py"} and not path.name.startswith("bibliography")
    )
    keys = tomllib.loads((ASSETS / f"bibliography-{topic}.toml").read_text("utf-8"))
    assert [key for key in keys if not re.search(rf"(?<![\w-]){key}(?![\w-])", used)] == []


SPECTRA = {
    "prahl": lambda: tissue.haemoglobin("prahl"),
    "moaveni": lambda: tissue.haemoglobin("moaveni"),
    "whole blood": tissue.whole_blood,
    "segelstein": lambda: tissue.water()["segelstein"],
    "hale-querry": lambda: tissue.water()["hale-querry"],
    "fat": tissue.fat,
}


@pytest.mark.parametrize("name", SPECTRA)
def test_a_spectrum_goes_up_in_steps_small_enough_for_straight_lines(name):
    wavelengths = [row.wavelength_nm for row in SPECTRA[name]()]
    step = 25 if name == "hale-querry" else 10
    assert all(0 < b - a <= step for a, b in pairwise(wavelengths))
    assert wavelengths[0] <= 650
    assert wavelengths[-1] >= (950 if name == "moaveni" else 1000)


def test_limits_of_wavelength_are_those_of_the_tables():
    limit = tables.limits()["wavelength_nm"]
    assert (limit.low, limit.high) == (650, 1000)


def test_a_layer_names_a_tissue_that_scatters():
    assert {row.scattering for row in tissue.skin_layers().values()} <= {*tissue.scattering()}
