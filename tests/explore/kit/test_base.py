"""Frames, whole numbers and buttons: what the base gives every explorer."""

import base64
import io
import re

import numpy as np
import pytest
import traitlets
from PIL import Image

from cubital.explore.kit.drawing import StaticFigure, png_of
from cubital.explore.kit.explorer import Count, Explorer, Picture, Reading


class Stripes(Explorer):
    """A frame with one bright column, and a button that counts."""

    inputs = ("column",)
    title = traitlets.Unicode("Stripes").tag(sync=True)
    column = Count(1, low=0, high=3, label="Column", unit="px", unit_words="pixels")
    acted = 0

    @staticmethod
    def compute(state):
        frame = np.zeros((2, 4), np.uint8)
        frame[:, state["column"]] = 200
        words = f"Column {state['column']} is bright."
        return Picture("", words, words, (Reading("Column", str(state["column"])),), frame=frame)

    def act(self, progress):
        self.acted += 1
        progress(1, 2)
        self.seen = self.progress


def test_a_frame_reaches_the_browser_as_its_bytes():
    figure = Stripes(column=2)
    sent = figure.picture["frame"]
    assert (sent["width"], sent["height"]) == (4, 2)
    assert bytes(sent["grey"]) == bytes([0, 0, 200, 0] * 2)
    figure.column = 0
    assert bytes(figure.picture["frame"]["grey"]) == bytes([200, 0, 0, 0] * 2)


def test_a_frame_is_printed_as_it_is_with_its_words():
    html = Stripes(column=3).static()._repr_html_()
    (data,) = re.findall(r'src="data:image/png;base64,([^"]+)"', html)
    shown = np.array(Image.open(io.BytesIO(base64.b64decode(data))))
    assert shown.tolist() == [[0, 0, 0, 200]] * 2
    assert 'alt="Column 3 is bright."' in html


def test_only_the_first_of_two_images_has_words():
    html = StaticFigure("Words", "<svg/>", png=png_of(np.zeros((1, 1), np.uint8)))._repr_html_()
    assert re.findall('alt="([^"]*)"', html) == ["Words", ""]


@pytest.mark.parametrize("value", [-1, 4, 1.5, "1", True, float("nan")])
def test_a_whole_number_outside_its_range_is_refused(value):
    with pytest.raises(traitlets.TraitError, match="whole number from 0 to 3 px"):
        Stripes().column = value


def test_the_button_acts_and_tells_how_far_it_is():
    figure = Stripes()
    figure.action = "Count"
    figure._handle_custom_msg("act", [])
    assert (figure.acted, figure.seen, figure.progress) == (1, 0.5, -1)
    figure._handle_custom_msg("something else", [])
    assert figure.acted == 1


def test_an_error_in_what_the_button_does_is_not_swallowed():
    class Broken(Stripes):
        def act(self, progress):
            raise RuntimeError("the lamp broke")

    figure = Broken(column=1)
    figure.action = "Try"
    with pytest.raises(RuntimeError, match="the lamp broke"):
        figure._pressed(figure, "act", [])
    assert figure.progress == -1


def test_what_is_kept_belongs_to_the_state_and_redraws_but_no_control_sets_it():
    class Counting(Stripes):
        kept = ("times",)
        times = traitlets.Int(0)

        @staticmethod
        def compute(state):
            words = f"Column {state['column']}, pressed {state.get('times', 0)} times."
            return Picture("", words, words, (), frame=np.zeros((1, 1), np.uint8))

        def act(self, progress):
            self.times += 1

    figure = Counting(column=2)
    figure.action = "Count"
    figure._pressed(figure, "act", [])
    assert figure.picture["alt"] == "Column 2, pressed 1 times."
    assert figure.state() == {"column": 2, "times": 1}
    assert [control["name"] for control in figure.controls] == ["column"]
    with pytest.raises(TypeError, match="has no times"):
        Counting(times=3)
