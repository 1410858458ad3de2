"""The Python that a site carries, started once: as a page has it first, and with all libraries."""

import json

import pytest

from . import there


@pytest.fixture(scope="session")
def at_first(site_folder):
    """Call a function in the Python that a page starts with."""
    with there.started(site_folder) as call:
        yield call


@pytest.fixture(scope="session")
def with_all(site_folder):
    """Call a function there with what a page loads where it needs it."""
    with there.started(site_folder, "scipy") as call:
        yield call


@pytest.fixture
def python_of(site_folder, request):
    """A function: what calls a function in the Python that a page has, by the page's name."""
    needs = json.loads((site_folder / "site.json").read_text())["cubitalFrozen"]["needs"]
    return lambda page: request.getfixturevalue("with_all" if needs.get(page) else "at_first")
