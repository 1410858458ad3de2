"""The course in a frame of another page: of its own site, and of a platform elsewhere."""

import json
import urllib.parse

import pytest
from playwright.sync_api import expect

from cubital.site import serving

from ..conftest import CHROMIUM, FLAGS, READY_MS, expect_ready, picture, program
from .test_check import NONE
from .test_keeping import SHEET, answer, first_answer, leave

pytestmark = [pytest.mark.browser, pytest.mark.long]
WAY_OUT = "Open the course in a window of its own"
IN_FRAMES_NOTHING = f"if (top !== self) {NONE % 'localStorage'}"
# Chromium as it is driven keeps nothing for a frame of another site, but by this setting.
PREFERENCES = {"profile": {"cookie_controls_mode": 0}}


@pytest.fixture
def platform(site, site_folder, tmp_path):
    """Give a platform, on another host, a page with one of the site's in a frame."""
    folder = tmp_path / "platform"
    folder.mkdir()
    with serving.served(folder) as address:
        port = urllib.parse.urlsplit(address).port

        def framing(page):
            src = f"{site.replace('127.0.0.1', 'course.example')}{page}"
            text = f'<iframe src="{src}" width="1100" height="700"></iframe>'
            (folder / "room.html").write_text(text, encoding="utf-8")
            return f"http://platform.example:{port}"

        yield framing


@pytest.fixture
def frame_in(driver, tmp_path):
    """Open a page, and return it with what is in its frame."""
    opened = []

    def frame_in_page(address, script=""):
        profile = tmp_path / "profile" / "Default"
        profile.mkdir(parents=True, exist_ok=True)
        (profile / "Preferences").write_text(json.dumps(PREFERENCES), encoding="utf-8")
        context = driver.chromium.launch_persistent_context(
            profile.parent,
            executable_path=program(*CHROMIUM),
            args=[*FLAGS, "--host-resolver-rules=MAP *.example 127.0.0.1"],
            viewport={"width": 1280, "height": 900},
        )
        opened.append(context)
        context.add_init_script(script)
        page = context.pages[0]
        page.said = []
        page.on("console", lambda one: page.said.append(one.text))
        leave(page)
        page.goto(address)
        return page, page.frame_locator("iframe")

    yield frame_in_page
    for context in opened:
        context.close()


def ready_in(frame):
    expect(frame.locator("main")).not_to_have_attribute("aria-busy", "true", timeout=READY_MS)


@pytest.fixture
def allowed(monkeypatch, site_folder):
    """Have the server allow a platform as the page for the IT department says."""

    def allow(platform):
        told = (site_folder / "for-it.html").read_text(encoding="utf-8")
        prescribed = "frame-ancestors &#39;self&#39; https://platform.example"
        prescribed = (
            prescribed if prescribed in told else "frame-ancestors 'self' https://platform.example"
        )
        assert f"<code>{prescribed}</code>" in told
        words = f"frame-ancestors 'self' {platform}"
        assert serving.POLICY.count("frame-ancestors 'self'") == 1
        policy = serving.POLICY.replace("frame-ancestors 'self'", words)
        # the platform's own page is served alike, and has to be let show the course
        policy += "; frame-src http://course.example:*"
        monkeypatch.setattr(serving, "HEADERS", {"Content-Security-Policy": policy})

    return allow


def test_a_platforms_frame_that_is_allowed_has_the_course_and_the_way_out(
    platform, frame_in, allowed
):
    origin = platform(SHEET)
    allowed(origin)
    page, frame = frame_in(f"{origin}/room.html")
    link = frame.get_by_role("link", name=WAY_OUT)
    expect(link).to_be_visible(timeout=READY_MS)
    ready_in(frame)
    picture(page, "site-framed")
    answer(frame, "2.5 mm")
    page.reload()
    ready_in(frame)
    expect(first_answer(frame)).to_have_value("2.5 mm")
    with page.expect_popup() as own:
        frame.get_by_role("link", name=WAY_OUT).click()
    expect(own.value.locator("h1")).to_be_visible(timeout=READY_MS)
    expect(own.value.get_by_role("link", name=WAY_OUT)).to_have_count(0)


def test_a_frame_in_which_the_browser_stores_nothing_says_so_and_has_the_way_out(
    platform, frame_in, allowed
):
    origin = platform(SHEET)
    allowed(origin)
    page, frame = frame_in(f"{origin}/room.html", IN_FRAMES_NOTHING)
    expect(frame.locator("main h1")).to_have_text("The course cannot begin in this browser")
    expect(frame.locator(".card")).to_contain_text("forbids this page to store anything")
    with page.expect_popup() as own:
        frame.get_by_role("link", name=WAY_OUT).click()
    expect_ready(own.value)


def test_the_policy_as_it_is_lets_no_other_site_show_the_course(platform, frame_in, monkeypatch):
    origin = platform("check.html")
    policy = f"{serving.POLICY}; frame-src http://course.example:*"
    monkeypatch.setattr(serving, "HEADERS", {"Content-Security-Policy": policy})
    page, frame = frame_in(f"{origin}/room.html")
    assert [one for one in page.said if "frame-ancestors 'self'" in one]
    expect(frame.locator("#outcome")).to_have_count(0)


def test_a_frame_of_a_page_beside_the_course_needs_no_way_out(site, frame_in, chromium):
    page = chromium.new_page()
    leave(page)
    body = '<iframe src="./?course=lessons/20-focal-geometry.ipynb"></iframe>'
    page.route("**/room.html", lambda route: route.fulfill(content_type="text/html", body=body))
    page.goto(f"{site}room.html")
    frame = page.frame_locator("iframe")
    expect(frame.locator("h1")).to_be_visible(timeout=READY_MS)
    ready_in(frame)
    expect(frame.get_by_role("link", name=WAY_OUT)).to_have_count(0)
    page.close()
