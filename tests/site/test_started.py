"""Python's memory that a page takes over holds nothing of the computer that built the site."""

import getpass
import gzip
import json
from pathlib import Path

from . import there
from .measured import begun


def test_numbers_by_chance_are_others_in_each_page(site_folder, at_first):
    with there.started(site_folder) as another:
        assert another(begun.chance) != at_first(begun.chance)


def test_the_clock_is_that_of_the_computer_that_reads(site_folder, monkeypatch):
    monkeypatch.setenv("TZ", "Asia/Tokyo")  # nine hours ahead of UTC, all the year
    with there.started(site_folder) as call:
        assert call(begun.clock) == 9 * 3600


def test_nothing_of_the_computer_that_built_it_is_in_the_memory(site_folder, at_first):
    told = json.loads((site_folder / "site.json").read_text())["cubitalPython"]
    memory = gzip.decompress((site_folder / "python" / told["started"]).read_bytes())
    for own in ("cubital-site-", str(Path.cwd())):
        assert own.encode() not in memory
    assert "cubital" in at_first(begun.environment)
    assert getpass.getuser() not in at_first(begun.environment)
