"""The package of items: what is loaded when, and what is asked of it that is not there."""

import subprocess
import sys

import pytest

from cubital import items

FIRST = items.WORKSHEETS["catheter-sizing"][0].id
LAST_FIGURE = "import sys, cubital.explore.patient.insertion\nprint(*sys.modules)"


def test_a_figure_loads_no_item_and_asking_for_one_loads_them_all():
    code = f"{LAST_FIGURE}\ncubital.items.find(sys.argv[1])\nprint(*sys.modules)"
    found = subprocess.run(
        [sys.executable, "-c", code, FIRST],
        capture_output=True,
        text=True,
        check=True,
    )
    before, after = (set(line.split()) for line in found.stdout.splitlines())
    assert "cubital.items.patient.case" in before
    assert {"cubital.items.kinds", "cubital.items.worksheets"} <= after - before


def test_an_unknown_name_raises():
    with pytest.raises(AttributeError, match="has no attribute 'SHEETS'"):
        items.SHEETS  # noqa: B018


def test_every_name_of_the_package_is_where_it_is_said_to_be():
    assert sorted(items.__all__) == sorted({*items._HOMES, "find", "knowing"})
    for name in {*items.__all__} - {"KINDS", "WORKSHEETS"}:  # the two tables are in no module
        assert getattr(items, name).__module__.startswith("cubital.items")
