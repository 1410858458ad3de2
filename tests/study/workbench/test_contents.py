"""A page that is opened before its notebook has run gets the notebook that has run."""

import asyncio
import os

import nbformat
import pytest
from tornado.web import HTTPError

from cubital.study.workbench.contents import PatientContents
from cubital.study.workbench.pages import Pages


@pytest.fixture
def notebook(tmp_path):
    path = tmp_path / "learner" / "a b" / "a.ipynb"
    path.parent.mkdir(parents=True)
    nbformat.write(nbformat.v4.new_notebook(), path)
    return path


@pytest.fixture
def pages(tmp_path, notebook):
    made = Pages(tmp_path / "pages", tmp_path / "learner")
    made.begin([notebook])
    return made


@pytest.fixture
def contents(tmp_path):
    folder, root = str(tmp_path / "pages"), str(tmp_path / "learner")
    return PatientContents(root_dir=root, pages_folder=folder)


async def opened(contents):
    """Open the page, and let it wait a little."""
    page = asyncio.ensure_future(contents.get("a b/a.ipynb"))
    await asyncio.wait([page], timeout=0.2)
    assert not page.done()
    return page


def test_a_notebook_that_is_to_run_is_asked_for_and_given_out_when_it_has_run(
    notebook, pages, contents, in_own_loop
):
    async def open_it():
        assert pages.wanted() is None
        page = await opened(contents)
        assert pages.wanted() == notebook
        done = nbformat.v4.new_notebook(cells=[nbformat.v4.new_markdown_cell("Done.")])
        nbformat.write(done, notebook)
        pages.ran(notebook)
        return await page

    got = in_own_loop(open_it)
    assert [cell["source"] for cell in got["content"]["cells"]] == ["Done."]
    assert pages.wanted() is None


def test_a_run_that_fails_is_told_to_all_who_wait_and_tried_again_when_asked_again(
    notebook, pages, contents, in_own_loop
):
    async def open_it():
        for reason in ("the kernel died", "it died again"):
            waiting = [await opened(contents), await opened(contents)]
            assert pages.wanted() == notebook
            pages.fail(notebook, reason)
            for page in waiting:
                with pytest.raises(HTTPError, match=f"could not be made ready: {reason}"):
                    await page
            assert pages.wanted() is None

    in_own_loop(open_it)


def test_what_lists_or_looks_up_a_notebook_neither_waits_nor_asks_for_it(
    notebook, pages, contents, in_own_loop
):
    assert in_own_loop(lambda: contents.get("a b/a.ipynb", content=False))["name"] == "a.ipynb"
    listed = in_own_loop(lambda: contents.get("a b"))
    assert [row["name"] for row in listed["content"]] == ["a.ipynb"]
    assert pages.wanted() is None


def test_other_files_do_not_wait(notebook, pages, contents, in_own_loop):
    nbformat.write(nbformat.v4.new_notebook(), notebook.with_name("b.ipynb"))
    assert in_own_loop(lambda: contents.get("a b/b.ipynb"))["name"] == "b.ipynb"


def test_who_asked_first_comes_first_and_an_earlier_servers_pages_are_forgotten(
    tmp_path, pages, notebook
):
    other = notebook.with_name("b.ipynb")
    pages.add(other)
    pages.want(other)
    (mark,) = (tmp_path / "pages" / "wanted").iterdir()
    os.utime(mark, (1, 1))
    pages.want(notebook)
    assert pages.wanted() == other
    pages.begin([notebook])
    assert pages.wanted() is None
    assert not pages.is_to_run(other)
    assert pages.is_to_run(notebook)
