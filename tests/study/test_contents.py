"""A page that is opened while its notebook runs gets the notebook that has run."""

import asyncio

import nbformat
import pytest

from cubital.study.contents import PatientContents, mark_of
from cubital.study.running import held


@pytest.fixture
def notebook(tmp_path):
    path = tmp_path / "a.ipynb"
    nbformat.write(nbformat.v4.new_notebook(), path)
    return path


def test_a_notebook_that_is_being_run_is_given_out_when_it_has_run(notebook, in_own_loop):
    contents = PatientContents(root_dir=str(notebook.parent))

    async def open_meanwhile():
        with held(notebook):
            page = asyncio.ensure_future(contents.get("a.ipynb"))
            await asyncio.wait([page], timeout=0.2)
            assert not page.done()
            done = nbformat.v4.new_notebook(cells=[nbformat.v4.new_markdown_cell("Done.")])
            nbformat.write(done, notebook)
        return await page

    got = in_own_loop(open_meanwhile)
    assert [cell["source"] for cell in got["content"]["cells"]] == ["Done."]


def test_other_files_do_not_wait(notebook, in_own_loop):
    other = notebook.with_name("b.ipynb")
    nbformat.write(nbformat.v4.new_notebook(), other)
    contents = PatientContents(root_dir=str(notebook.parent))
    with held(notebook):
        assert in_own_loop(lambda: contents.get("b.ipynb"))["name"] == "b.ipynb"


def test_the_mark_goes_also_when_running_fails(notebook):
    def fail():
        with held(notebook):
            raise RuntimeError(str(mark_of(notebook).exists()))

    with pytest.raises(RuntimeError, match="True"):
        fail()
    assert not mark_of(notebook).exists()
