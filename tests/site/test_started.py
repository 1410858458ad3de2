"""Python's memory that a page takes over holds nothing of the computer that built the site."""

import getpass
import gzip
import json
import zipfile
from pathlib import Path

from cubital.site import started

from . import there
from .measured import begun


def test_numbers_by_chance_are_others_in_each_page(site_folder, at_first):
    with there.started(site_folder) as another:
        assert another(begun.chance) != at_first(begun.chance)


def test_the_clock_is_that_of_the_computer_that_reads(site_folder, monkeypatch):
    monkeypatch.setenv("TZ", "Asia/Tokyo")  # nine hours ahead of UTC, all the year
    with there.started(site_folder) as call:
        assert call(begun.clock) == 9 * 3600


def memory_of(site):
    """Python's memory as a page takes it over."""
    told = json.loads((site / "site.json").read_text())["cubitalPython"]
    return gzip.decompress((site / "python" / told["started"]).read_bytes())


def comments(site):
    """The longer comments in the sources of what Python has loaded, which no code keeps."""
    with zipfile.ZipFile(site / "python" / "python_stdlib.zip") as sources:
        for module in started.MODULES.split():
            path = module.replace(".", "/")
            for name in {f"{path}.py", f"{path}/__init__.py"} & {*sources.namelist()}:
                lines = [line.strip() for line in sources.read(name).splitlines()]
                yield from (line for line in lines if line.startswith(b"# ") and len(line) > 40)


def test_the_memory_holds_little_of_what_python_has_read_and_freed(site_folder):
    memory = memory_of(site_folder)
    found = [line in memory for line in comments(site_folder)]
    assert len(found) > 2000
    assert sum(found) / len(found) < 0.01  # of 8 in 100 before it is cleared; some stand in words


def test_nothing_of_the_computer_that_built_it_is_in_the_memory(site_folder, at_first):
    memory = memory_of(site_folder)
    for own in ("cubital-site-", str(Path.cwd())):
        assert own.encode() not in memory
    assert "cubital" in at_first(begun.environment)
    assert getpass.getuser() not in at_first(begun.environment)
