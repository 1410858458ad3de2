"""A figure and a question on a page, touched as a learner does, with a witness beside."""

import re

from playwright.sync_api import expect

from cubital import items
from cubital.explore.sizing.fit import EndOnFit

from .witness import Witness

HEALED_MS = 60_000
FIGURE = ".cubital-explorer"
ITEM = items.find("sizing-area-share")


class Figure:
    """The figure of a catheter in a vein, its slider and the numbers beside."""

    def __init__(self, page):
        self.page = page
        self.root = page.locator(FIGURE).first
        self.slider = self.root.get_by_role("slider")
        self.root.scroll_into_view_if_needed()
        self.shows(2.6)
        self.witness = Witness(page, figure=FIGURE, explorer=EndOnFit)

    def move(self, to):
        self.slider.fill(str(to))

    def shows(self, diameter):
        """The slider stands where it was put, and the numbers are those of this diameter."""
        stands = re.compile(rf"^{re.escape(str(diameter))}(\.0)?$")  # Firefox keeps the 0 of 3.0
        expect(self.slider).to_have_value(stands, timeout=HEALED_MS)
        readings = EndOnFit.compute({"vein_diameter_mm": diameter, "gauge": 20}).readings
        numbers = self.root.locator(".cubital-readings dd:not(.cubital-note)")
        expect(numbers).to_have_text([one.value for one in readings], timeout=HEALED_MS)
        expect(numbers.first).to_be_visible(timeout=HEALED_MS)


class Answer:
    """A question that takes a share, and the file of answers."""

    def __init__(self, page, folder):
        self.page, self.folder = page, folder
        self.root = page.locator(f'.cubital-field[data-item="{ITEM.id}"]')
        self.box = self.root.get_by_role("textbox")
        self.status = self.root.locator(".cubital-status")
        self.bar = page.locator(".cubital-saved")
        self.root.scroll_into_view_if_needed()
        self.witness = Witness(page, item=ITEM, folder=folder)

    def type(self, typed):
        self.box.press("Control+a")
        self.box.press_sequentially(typed)
        self.box.press("Tab")

    def is_saved(self, typed):
        expect(self.status).to_contain_text("Saved at", timeout=HEALED_MS)
        expect(self.status).to_contain_text(f"“{typed}”", timeout=HEALED_MS)
        expect(self.box).to_have_value(typed)
        expect(self.bar).to_have_text("Saved")
        assert self.witness.held() == typed
