"""What the page asks of Python in a browser, as far as it can be had without one."""

from typing import Any

import pytest

from cubital.study import in_browser


def test_python_that_was_started_again_does_not_say_that_it_stored_what_it_has_not_read(
    in_own_loop: Any,
):
    with pytest.raises(OSError, match="has not read yet what the browser stores"):
        in_own_loop(in_browser.keep)
