"""A site, served as a plain file server would, and windows that note what is asked for and said."""

import pytest

from cubital.site import serving

from ..conftest import expect_ready


@pytest.fixture(scope="session")
def site(site_folder):
    """The address of the site."""
    with serving.served(site_folder) as address:
        yield address


def sizes_of(page, site):
    """Return a list that has the size of each file that a site gives to a page, in bytes."""
    sizes = []

    def note(reply):
        if reply.url.startswith(site):
            sizes.append(int(reply.headers.get("content-length", 0)))

    page.on("response", note)
    return sizes


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
        page.sizes = sizes_of(page, address.partition("?")[0])
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


# What lies in the store of pages, by path, in words.
KEPT = """
() => new Promise((resolve) => {
  const opening = indexedDB.open('cubital-early', 1);
  opening.onupgradeneeded = () => opening.result.createObjectStore('pages');
  opening.onsuccess = () => {
    const all = opening.result.transaction('pages').objectStore('pages');
    const keys = all.getAllKeys(), pages = all.getAll();
    all.transaction.oncomplete = () => {
      opening.result.close();
      const words = (key, n) => [key, JSON.stringify(pages.result[n])];
      resolve(Object.fromEntries(keys.result.map(words)));
    };
  };
})
"""
KEPT_TRIES, TRY_MS = 200, 100


class HeldPython:
    """A fresh profile whose pages get Python only once it is released."""

    def __init__(self, chromium):
        self.said = []
        self._held, self._holds = [], True
        self._context = chromium.new_context(viewport={"width": 1280, "height": 900})
        self._context.route("**/python/*.wasm.bin", self._met)

    def _met(self, route):
        if self._holds:
            self._held.append(route)
        else:
            route.continue_()

    def hold(self):
        """Give Python to no page that is opened from now on."""
        self._holds = True

    def release(self):
        """Give Python to the pages that wait, and to all that are opened from now on."""
        self._holds = False
        while self._held:
            self._held.pop().continue_()

    def opened(self, address):
        """Return a window with a page, as soon as it begins to load."""
        page = self._context.new_page()
        page.on("console", lambda one: self.said.append((one.type, one.text)))
        page.on("pageerror", lambda error: self.said.append(("error", str(error))))
        page.on("dialog", lambda dialog: dialog.accept())  # whether one means to leave
        page.goto(address, wait_until="commit")
        return page

    def close(self):
        """Close all; nothing was said that is a fault."""
        self._context.close()
        assert [one for one in self.said if one[0] in {"error", "warning"}] == []


def wait_until_kept(page, is_kept):
    """Wait until what is kept of pages, by path, is as it should be."""
    for _ in range(KEPT_TRIES):
        kept = page.evaluate(KEPT)
        if is_kept(kept):
            return
        page.wait_for_timeout(TRY_MS)
    raise AssertionError(f"what is kept: {list(kept)}")


FULL = """
new BroadcastChannel("full").onmessage = ({ data }) => (self.isFull = data);
const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (...given) {
  if (self.isFull) throw new DOMException("there is no room", "QuotaExceededError");
  return put.apply(this, given);
};
"""


def with_a_store_that_fills(route):
    reply = route.fetch()
    route.fulfill(response=reply, body=FULL + reply.text())


@pytest.fixture
def filling(chromium):
    """A page, and what says whether its browser's store is full."""
    context = chromium.new_context()
    page = context.new_page()
    page.on("dialog", lambda dialog: dialog.accept())
    page.route("**/python/pyodide.js", with_a_store_that_fills)
    fill = "(full) => new BroadcastChannel('full').postMessage(full)"
    yield page, lambda full: page.evaluate(fill, full)
    context.close()
