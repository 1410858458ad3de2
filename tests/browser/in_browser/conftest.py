"""A site, served as a plain file server would, and windows that note what is asked for and said."""

import pytest

from cubital.site import building, serving

from ..conftest import expect_ready


@pytest.fixture(scope="session")
def site_folder(tmp_path_factory):
    """A site, built once; Pyodide's files come from where the command finds them."""
    folder = tmp_path_factory.mktemp("site") / "course"
    building.build(folder)
    return folder


@pytest.fixture(scope="session")
def site(site_folder):
    """The address of the site."""
    with serving.served(site_folder) as address:
        yield address


@pytest.fixture
def browse(chromium):
    """Open a site's address in a fresh profile; nothing is asked of others, and nothing said."""
    opened = []

    def browse_to(address, context=None, **options):
        context = context or chromium.new_context(
            viewport={"width": 1280, "height": 900}, **options
        )
        page = context.new_page()
        page.said, page.asked = [], []
        page.on("console", lambda one: page.said.append((one.type, one.text)))
        page.on("pageerror", lambda error: page.said.append(("error", str(error))))
        page.on("request", lambda request: page.asked.append(request.url))
        opened.append((address, page))
        page.goto(address)
        expect_ready(page)
        return page

    yield browse_to
    for address, page in opened:
        site = address.partition("?")[0]
        page.context.close()
        assert [one for one in page.said if one[0] in {"error", "warning"}] == []
        own = ("data:", "blob:", site)
        assert [one for one in page.asked if not one.startswith(own)] == []
