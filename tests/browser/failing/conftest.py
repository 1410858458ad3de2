"""A window for what fails: what the browser tells in its console then is no error of the page."""

import pytest

from ..conftest import expect_ready


@pytest.fixture
def opened(chromium):
    """Open an address in a fresh window of a browser of its own."""
    contexts = []

    def open_it(address):
        contexts.append(chromium.new_context(viewport={"width": 1280, "height": 900}))
        page = contexts[-1].new_page()
        page.goto(address)
        expect_ready(page)
        return page

    yield open_it
    for context in contexts:
        context.close()
