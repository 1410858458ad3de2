"""The page for the IT department in a browser, and what it says of where data lies and what is
loaded."""

import pytest
from playwright.sync_api import expect

from cubital.site import serving

from ..conftest import expect_ready
from ..everywhere.looking import faults
from .conftest import sizes_of

pytestmark = pytest.mark.browser
LESSON = "?course=ada/lessons/20-focal-geometry.ipynb"


def test_it_shows_whole_in_every_way(site, chromium):
    page = chromium.new_page()
    page.goto(f"{site}for-it.html")
    assert faults(page, "site-for-it") == ""
    page.close()


def test_a_site_in_a_folder_of_a_server_stores_where_the_page_says(site_folder, chromium):
    with serving.served(site_folder.parent) as root:
        site = f"{root}{site_folder.name}/"
        context = chromium.new_context()
        page = context.new_page()
        asked, sizes = [], sizes_of(page, site)
        page.on("request", lambda one: asked.append((one.method, one.url)))
        page.goto(f"{site}{LESSON}")
        expect_ready(page)
        expect(page.locator(".cubital-code svg").first).to_be_visible()
        assert {url for _how, url in asked if not url.startswith((site, "blob:", "data:"))} == set()
        assert {how for how, _url in asked} <= {"GET", "HEAD"}
        names = page.evaluate("indexedDB.databases().then((all) => all.map(({ name }) => name))")
        told = (site_folder / "for-it.html").read_text(encoding="utf-8")
        assert "/learners" in names
        assert [name for name in names if f"<code>{name}</code>" not in told] == []
        keys = "[...Object.keys(localStorage), ...Object.keys(sessionStorage)]"
        assert {key.partition("-")[0] for key in page.evaluate(keys)} == {"cubital"}
        assert context.cookies() == []
        assert page.evaluate("caches.keys()") == []
        # Python's 21 MB and 8 of scripts, as the page has it
        assert sum(sizes) / 1e6 == pytest.approx(29, abs=2)
        context.close()
