"""A window for what fails: what the browser tells in its console then is no error of the page."""

import pytest

from cubital.handin.answers import FILE as ANSWERS_FILE

from ..conftest import expect_ready


@pytest.fixture
def study(study):
    """The cohort of one; what is answered here is taken away again, as others share it."""
    file = study.worksheet.parent / ANSWERS_FILE
    before = file.read_bytes() if file.exists() else None
    yield study
    if before is None:
        file.unlink(missing_ok=True)
    else:
        file.write_bytes(before)


@pytest.fixture
def browser():
    """Which browser a test opens its pages in; a test may be given another."""
    return "chromium"


@pytest.fixture
def opened(request, browser):
    """Open an address in a fresh window, as in a browser of its own."""
    contexts = []

    def open_it(address):
        own = request.getfixturevalue(browser)
        contexts.append(own.new_context(viewport={"width": 1280, "height": 900}))
        page = contexts[-1].new_page()
        page.goto(address)
        expect_ready(page)
        return page

    yield open_it
    for context in contexts:
        context.close()
