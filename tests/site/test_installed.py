"""Without the extra `site` the command says in words what to install, and builds nothing."""

import importlib.metadata
import re
import tomllib
from pathlib import Path

import pytest

from cubital.cli import main
from cubital.site import building, lite, pyodide

PROJECT = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))
EXTRAS = PROJECT["project"]["optional-dependencies"]


@pytest.fixture(autouse=True)
def nothing_is_built(monkeypatch):
    def take(*_given):
        raise AssertionError("it went on")

    monkeypatch.setattr(pyodide, "take", take)


@pytest.mark.parametrize("missing", lite.PACKAGES)
def test_a_package_that_is_not_there_is_named_with_the_command(
    monkeypatch, tmp_path, capsys, missing
):
    real = importlib.metadata.version

    def version(name):
        if name == missing:
            raise importlib.metadata.PackageNotFoundError(name)
        return real(name)

    monkeypatch.setattr(importlib.metadata, "version", version)
    assert main(["site", "--to", str(tmp_path / "site")]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == (
        f"cubital: a site is built of packages that are not installed here: {missing}. "
        'Install them by: pip install "cubital[site]"\n'
    )
    assert not (tmp_path / "site").exists()


def test_with_all_of_them_it_goes_on(tmp_path):
    with pytest.raises(AssertionError, match="it went on"):
        building.build(tmp_path / "site")


def test_the_extra_holds_these_packages_and_the_course_itself_none_that_it_need_not():
    named = [re.match(r"[\w-]+", one)[0] for one in EXTRAS["site"]]
    assert sorted(named) == sorted(lite.PACKAGES)
    asked = " ".join(PROJECT["project"]["dependencies"])
    carriers = [one.partition("==")[0] for one in pyodide.edition().carriers]
    assert carriers
    for name in ("jupyterlite", *carriers):
        assert name not in asked
        assert not any(name in one for one in EXTRAS["test"])
