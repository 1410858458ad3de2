"""The page that tells what a browser lacks, and the first page where something is missing.

Each row is seen in a browser, or from a server, that lacks just this.
"""

import gzip
from functools import partial

import pytest
from playwright.sync_api import expect

from cubital.site import serving

from ..everywhere.looking import faults

pytestmark = [pytest.mark.browser, pytest.mark.long]

FAST, ALLOWED = "A browser that runs programs fast", "Permission to run them"
WORKER, PARTS = "Work in the background", "Scripts in parts"
UNPACKS = "Unpacking on the way"
STORE, PLACE = "A place for your answers", "A place for where you stopped"
KINDS, PROGRAM = "All kinds of file", "The course's own program"
NEEDS = ["A web server", FAST, ALLOWED, WORKER, UNPACKS, PARTS, STORE, PLACE, KINDS, PROGRAM]
NONE = "Object.defineProperty(window, '%s', { get() { throw new Error('none'); } })"
REFUSED = """indexedDB.open = () => {
  const request = {};
  queueMicrotask(() => request.onerror());
  return request;
}"""
ROOM = "navigator.storage.estimate = async () => ({ quota: %d, usage: 0 })"
IN_BROWSERS = {
    "no WebAssembly": ("delete window.WebAssembly", [FAST, ALLOWED]),
    "nothing is unpacked": ("delete window.DecompressionStream", [UNPACKS]),
    "no workers": ("delete window.Worker", [WORKER]),
    "nothing is stored": (NONE % "localStorage", [PLACE]),
}
BY_POLICIES = {
    "no WebAssembly": (" 'wasm-unsafe-eval'", "", [ALLOWED]),
    "no worker from a blob": ("worker-src 'self' blob:", "worker-src 'self'", [WORKER]),
    "no script from a blob": ("script-src 'self' blob:", "script-src 'self'", [PARTS]),
}
NO_FOLDER = "navigator.storage.getDirectory = () => Promise.reject(new DOMException())"
NOTED = [
    ("Saving files", "delete HTMLAnchorElement.prototype.download"),
    ("Room for your answers", ROOM % 50e6),
    ("Private windows", ROOM % 300e6),
    ("Private windows", NO_FOLDER),
    ("The address", "Object.defineProperty(window, 'isSecureContext', { value: false })"),
]


def answered(told, route):
    route.fulfill(**told)


@pytest.fixture
def look(chromium):
    """Open a page of a site in a fresh profile; a script may take something from the browser."""
    contexts = []

    def look_at(address, script="", browser=chromium, routes=(), width=1280):
        context = browser.new_context(viewport={"width": width, "height": 900})
        contexts.append(context)
        if script:
            context.add_init_script(script)
        page = context.new_page()
        page.asked = []
        page.on("request", lambda request: page.asked.append(request.url))
        for pattern, told in routes:
            page.route(pattern, partial(answered, told))
        page.goto(address)
        return page

    yield look_at
    for context in contexts:
        context.close()


def checked(page):
    """The page once its check has ended."""
    expect(page.locator("#verdict:not(.waiting)")).to_be_visible(timeout=60_000)
    return page


def missing(page):
    return checked(page).locator(".card.harm h3").all_inner_texts()


def worth_reading(page):
    return checked(page).locator(".card.care h3").all_inner_texts()


@pytest.mark.parametrize("name", ["chromium", "firefox"])
def test_a_browser_that_has_all_of_it_is_told_so(site, look, request, name):
    page = checked(look(f"{site}check.html", browser=request.getfixturevalue(name)))
    expect(page.locator("#outcome")).to_have_text("The course can run in this browser.")
    assert page.locator(".card.right h3").all_inner_texts() == NEEDS
    assert (missing(page), worth_reading(page)) == ([], [])
    assert [one for one in page.asked if not one.startswith((site, "blob:", "data:"))] == []
    page.locator("#go a").click()
    expect(page).to_have_title("Cubital")


@pytest.mark.parametrize(("script", "lacking"), IN_BROWSERS.values(), ids=IN_BROWSERS)
def test_what_a_browser_lacks_is_named_by_both_pages(site, look, script, lacking):
    page = look(f"{site}check.html", script)
    assert missing(page) == lacking
    expect(page.locator("#outcome")).to_contain_text("cannot run here")
    page = look(site, script)
    expect(page.locator("main h1")).to_have_text("The course cannot begin in this browser")
    assert page.locator(".card h2").all_inner_texts() == lacking
    page.get_by_role("link", name="Check this browser").click()
    assert missing(page) == lacking


@pytest.mark.parametrize("script", ["delete window.indexedDB", REFUSED], ids=["none", "refuses"])
def test_a_browser_that_stores_nothing_is_told_what_is_lost_and_may_begin(site, look, script):
    page = look(f"{site}check.html", script)
    assert missing(page) == [STORE]
    expect(page.locator("#outcome")).to_contain_text("what you enter is gone when you close it")
    page.locator("#go a").click()
    expect(page.locator(".cubital-main")).to_be_visible()


@pytest.mark.parametrize("case", BY_POLICIES)
def test_what_a_servers_policy_forbids_is_named(site, look, monkeypatch, case):
    words, instead, lacking = BY_POLICIES[case]
    assert words in serving.POLICY
    policy = serving.POLICY.replace(words, instead)
    monkeypatch.setattr(serving, "HEADERS", {"Content-Security-Policy": policy})
    assert missing(look(f"{site}check.html")) == lacking
    page = look(site)
    expect(page.locator(".card h2")).to_have_text(lacking)


def test_a_file_that_the_server_refuses_is_named(site, look):
    page = look(f"{site}check.html", routes=[("**/*.zip", {"status": 404})])
    assert missing(page) == [KINDS]
    expect(page.locator(".card.harm")).to_contain_text(".zip")


def test_a_program_that_is_too_new_for_the_browser_is_named(site, look):
    later = b"\0asm\x02\0\0\0"  # WebAssembly's second version, which nobody has
    packed = {"body": gzip.compress(later)}
    page = look(f"{site}check.html", routes=[("**/*.wasm.bin", packed)])
    assert missing(page) == [PROGRAM]


@pytest.mark.parametrize(("name", "script"), NOTED)
def test_what_is_worth_knowing_of_a_browser_is_marked(site, look, name, script):
    page = look(f"{site}check.html", script)
    assert missing(page) == []
    assert name in worth_reading(page)


def test_what_is_worth_knowing_of_a_server_is_marked(site, look, monkeypatch):
    monkeypatch.setattr(serving, "HEADERS", {})
    page = look(f"{site}check.html")
    assert worth_reading(page) == ["The web server's policy"]


def test_a_narrow_window_and_one_within_another_page_are_marked(site, look):
    assert worth_reading(look(f"{site}check.html", width=300)) == ["Size of the window"]
    frame = {"content_type": "text/html", "body": '<iframe src="check.html"></iframe>'}
    page = look(f"{site}platform.html", routes=[("**/platform.html", frame)])
    within = page.frame_locator("iframe")
    expect(within.locator("#verdict:not(.waiting)")).to_be_visible(timeout=60_000)
    assert "A window of its own" in within.locator(".card.care h3").all_inner_texts()


def test_a_small_file_is_saved_when_asked(site, look):
    page = checked(look(f"{site}check.html"))
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save a small file").click()
    assert saved.value.suggested_filename == "cubital-check.txt"
    assert saved.value.path().read_text() == "Files can be saved.\n"


@pytest.mark.parametrize("name", ["chromium", "firefox"])
def test_a_double_click_on_a_page_is_answered_with_what_to_do(site_folder, look, request, name):
    browser = request.getfixturevalue(name)
    page = look((site_folder / "index.html").as_uri(), browser=browser)
    expect(page.locator(".card")).to_contain_text("opened from a folder")
    expect(page.get_by_role("link", name="For the IT department")).to_be_visible()
    page = look((site_folder / "check.html").as_uri(), browser=browser)
    assert missing(page) == ["A web server"]


def test_a_site_that_did_not_arrive_whole_says_so(site, look):
    for path in ("site.json", "build/lab/bundle.js"):
        page = look(site, routes=[(f"**/{path}", {"status": 404})])
        expect(page.locator("main h1")).to_have_text("The course could not be loaded")
        expect(page.locator("main")).to_contain_text(path)


def test_without_scripts_the_first_page_says_what_it_needs(site, chromium):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(site)
    expect(page.locator("#begin")).to_contain_text("JavaScript may be switched off")
    context.close()


@pytest.mark.parametrize("script", ["", "delete window.WebAssembly"])
def test_the_check_shows_whole_in_every_way(site, look, script):
    page = checked(look(f"{site}check.html", script))
    assert faults(page, f"site-check{'-red' if script else ''}") == ""


def test_the_first_page_shows_whole_where_something_is_missing(site, look):
    page = look(site, "delete window.WebAssembly")
    expect(page.locator(".card").first).to_be_visible()
    assert faults(page, "site-begin") == ""
