"""What is wrong with how a page looks, in every way in which it can be looked at."""

from pathlib import Path

from axe_playwright_python.sync_playwright import Axe

from ..conftest import SCREENSHOTS

MEASURE = (Path(__file__).parent / "measuring.js").read_text(encoding="utf-8")
WIDTHS = (320, 640, 820, 1280, 1920)  # of the window in CSS pixels; 640 is 1280 at 200 %
COLOURS = {
    "light": {"color_scheme": "light", "forced_colors": "none"},
    "dark": {"color_scheme": "dark", "forced_colors": "none"},
    "forced": {"color_scheme": "light", "forced_colors": "active"},
}
# Colours decide what axe finds, widths hardly anything; pictures are for people to look at.
WITH_AXE = {(320, "light"), (1280, "light"), (1280, "dark"), (1280, "forced")}
WITH_PICTURE = WITH_AXE | {(820, "dark"), (1920, "light")}


def faults(page, name):
    """Return each fault with the ways in which it is there, a line each, and leave pictures."""
    found = {}
    folder = SCREENSHOTS / "everywhere"
    folder.mkdir(parents=True, exist_ok=True)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        for colours, told in COLOURS.items():
            page.emulate_media(**told)
            here = page.evaluate(MEASURE)
            if (width, colours) in WITH_PICTURE:
                path = folder / f"{name.replace('/', '-')}-{width}-{colours}.png"
                page.screenshot(path=path, full_page=True)
            if (width, colours) in WITH_AXE:
                for one in Axe().run(page).response["violations"]:
                    here += [f"axe {one['id']}: {node['html'][:200]}" for node in one["nodes"]]
            for fault in here:
                found.setdefault(fault, []).append(f"{width} {colours}")
    return "\n".join(f"{fault}, at {', '.join(ways)}" for fault, ways in found.items())


# Spacing that a reader may set, by WCAG 2.2, 1.4.12. Drawings are pictures, and keep theirs.
SPACED = """
:not(svg, svg *) {
  line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important;
}
svg { letter-spacing: normal; word-spacing: normal; }
p { margin-bottom: 2em !important; }
"""


def spaced_faults(page):
    """Return each fault, a line each, once the page's text is spaced."""
    page.emulate_media(**COLOURS["light"])
    style = page.add_style_tag(content=SPACED)
    found = {}
    for width in (320, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        for fault in page.evaluate(MEASURE):
            found.setdefault(fault, []).append(str(width))
    style.evaluate("one => one.remove()")
    return "\n".join(f"{fault}, at {', '.join(ways)}" for fault, ways in found.items())
