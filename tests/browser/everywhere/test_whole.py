"""Every page shows whole: at every width, at 200 %, light, dark and in forced colours."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from ..conftest import SCREENSHOTS
from .conftest import PAGES

pytestmark = pytest.mark.browser

MEASURE = (Path(__file__).parent / "measuring.js").read_text(encoding="utf-8")
WIDTHS = (320, 640, 820, 1280, 1920)  # of the window in CSS pixels; 640 is 1280 at 200 %
COLOURS = {
    "light": {"color_scheme": "light", "forced_colors": "none"},
    "dark": {"color_scheme": "dark", "forced_colors": "none"},
    "forced": {"color_scheme": "light", "forced_colors": "active"},
}
FEW = {"lesson/40-catheter-sizing", "lesson/00-start-here", "practice/catheter-sizing"}
EVERY_PAGE = [
    pytest.param(page, marks=() if page in FEW else pytest.mark.long) for page in PAGES
]


def faults(page, name):
    """Return each fault with the ways in which it is there; leave pictures to look at."""
    found = {}
    folder = SCREENSHOTS / "everywhere"
    folder.mkdir(parents=True, exist_ok=True)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        for colours, told in COLOURS.items():
            page.emulate_media(**told)
            here = page.evaluate(MEASURE)
            path = folder / f"{name.replace('/', '-')}-{width}-{colours}.png"
            page.screenshot(path=path, full_page=True)
            if width in {320, 1280}:
                for one in Axe().run(page).response["violations"]:
                    here += [f"axe {one['id']}: {node['html'][:200]}" for node in one["nodes"]]
            for fault in here:
                found.setdefault(fault, []).append(f"{width} {colours}")
    return [f"{fault}, at {', '.join(ways)}" for fault, ways in found.items()]


@pytest.mark.parametrize("name", EVERY_PAGE)
def test_a_page_shows_whole_in_every_way_and_axe_finds_nothing(address, open_page, name):
    page = open_page(address(name))
    found = faults(page, name)
    assert not found, "\n".join(found)
