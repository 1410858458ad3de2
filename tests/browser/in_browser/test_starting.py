"""A page that is not given all that it needs says so, and does not wait without a word."""

import pytest
from playwright.sync_api import expect

from cubital.site import serving

from ..conftest import READY_MS, expect_ready
from .conftest import HeldPython
from .test_keeping import SHEET, answer, leave

pytestmark = [pytest.mark.browser, pytest.mark.long]
LESSON = "?course=ada/lessons/20-focal-geometry.ipynb"
PYTHON_MISSING = ["pyodide.asm.js", "pyodide-lock.json"]
SCRIPTS_MISSING = [
    "build/jlab_core.",
    "extensions/cubital-page/",
    "pyodide-kernel-extension/static/remote",
]


def without(page, part):
    """Let a page do without the files in whose address something stands."""
    page.route(lambda url: part in url, lambda route: route.fulfill(status=404))


@pytest.mark.parametrize("part", PYTHON_MISSING)
def test_a_page_whose_python_is_not_given_out_says_so(site, chromium, part):
    page = chromium.new_page()
    without(page, part)
    page.goto(f"{site}{LESSON}")
    aside = page.locator(".cubital-aside")
    expect(aside).to_contain_text("Python could not be started", timeout=READY_MS)
    page.close()


@pytest.mark.parametrize("part", SCRIPTS_MISSING)
def test_a_page_of_which_a_script_is_not_given_out_says_which(site, chromium, part):
    page = chromium.new_page()
    without(page, part)
    page.goto(f"{site}{LESSON}")
    expect(page.locator("h1")).to_have_text("The course could not be loaded", timeout=READY_MS)
    expect(page.get_by_role("main")).to_contain_text(part)
    expect(page.get_by_role("main")).to_be_in_viewport()
    page.close()


def test_a_page_that_is_isolated_from_other_sites_runs_all_the_same(
    site_folder, chromium, monkeypatch
):
    isolates = {
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Embedder-Policy": "require-corp",
    }
    monkeypatch.setattr(serving, "HEADERS", {**serving.HEADERS, **isolates})
    context = chromium.new_context()
    page = context.new_page()
    leave(page)
    with serving.served(site_folder) as site:
        page.goto(f"{site}{SHEET}")
        assert page.evaluate("typeof SharedArrayBuffer") == "function"  # it is isolated
        expect_ready(page)
        answer(page, "3 mm")
        context.close()


def test_a_page_whose_python_is_not_up_after_a_minute_says_so_until_it_is(site, chromium):
    python = HeldPython(chromium)
    page = python.opened("about:blank")
    page.clock.install()
    with page.expect_request("**/python/*.wasm.bin"):  # the minute runs once Python was asked for
        page.goto(f"{site}{LESSON}")
    expect(page.locator("h1")).to_be_visible(timeout=READY_MS)
    page.clock.fast_forward(61_000)
    expect(page.locator(".cubital-aside")).to_contain_text("not up after a minute")
    python.release()
    expect_ready(page)
    expect(page.locator(".cubital-aside")).to_have_count(0)
    python.close()
