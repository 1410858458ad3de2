"""What the page asks of Python in a browser, as far as it can be had without one."""

import asyncio

import pytest

from cubital.study import in_browser


def test_python_that_was_started_again_does_not_say_that_it_stored_what_it_has_not_read():
    with pytest.raises(OSError, match="has not read yet what the browser stores"):
        asyncio.run(in_browser.keep())
