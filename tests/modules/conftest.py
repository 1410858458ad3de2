"""The lessons, read once, and run once on a fresh kernel when a test asks for it."""

import functools

import nbformat
import pytest
from nbclient import NotebookClient

from cubital import tables


@pytest.fixture(scope="session")
def lessons():
    """Every lesson by its name."""
    paths = sorted(tables.course_folder("modules").glob("*.ipynb"))
    return {path.stem: nbformat.read(path, as_version=4) for path in paths}


@pytest.fixture(scope="session")
def ran(lessons, tmp_path_factory):
    """A function that gives a lesson run from top to bottom; an error in a cell is raised."""

    @functools.cache
    def run(name):
        notebook = nbformat.from_dict(lessons[name])
        folder = tmp_path_factory.mktemp(name)
        client = NotebookClient(
            notebook, kernel_name="python3", timeout=120, resources={"metadata": {"path": folder}}
        )
        return client.execute()

    return run
