"""The package of items: what is loaded when, and what is asked of it that is not there."""

import subprocess
import sys

import pytest

from cubital import items

FIRST = items.WORKSHEETS["catheter-sizing"][0].id
LAST_FIGURE = "import sys, cubital.explore.patient.insertion\nprint(*sys.modules)"


def test_a_figure_loads_no_worksheet_and_asking_for_one_item_loads_them():
    code = f"{LAST_FIGURE}\ncubital.items.find(sys.argv[1])\nprint(*sys.modules)"
    found = subprocess.run(
        [sys.executable, "-c", code, FIRST],
        capture_output=True,
        text=True,
        check=True,
    )
    before, after = (set(line.split()) for line in found.stdout.splitlines())
    assert "cubital.items.kinds" in before
    assert "cubital.items.worksheets" in after - before


def test_an_unknown_name_raises():
    with pytest.raises(AttributeError, match="has no attribute 'SHEETS'"):
        items.SHEETS  # noqa: B018
