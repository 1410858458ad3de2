"""Pictures in the store: chance of loss against a count by chance, and a ring that overwrites."""

from collections import deque
from xml.etree import ElementTree

import numpy as np
import pytest
from scipy.stats import poisson

from cubital.explore.readiness.stored_pictures import StoredPictures, chance_words

SVG = "{http://www.w3.org/2000/svg}"
STORE = 340


def numbers(**state):
    return StoredPictures(**state).show().numbers


@pytest.mark.parametrize("shifts", [1, 6, 7, 8, 14])
@pytest.mark.parametrize(("rate", "keep"), [(40, 60), (5, 300), (120, 1)])
def test_chance_is_that_of_so_many_new_pictures_by_chance(rate, keep, shifts):
    n = numbers(pictures_per_shift=rate, pictures_to_keep=keep, shifts_to_copy=shifts)
    room = STORE - keep + 1
    assert n.room == room
    assert n.chance == pytest.approx(poisson(rate * shifts).sf(room - 1), abs=1e-9)
    assert np.allclose(n.chances, poisson(rate * n.shifts).sf(room - 1), atol=1e-9)
    assert n.safe_shifts == pytest.approx(room / rate)


@pytest.mark.parametrize(("rate", "keep", "shifts"), [(40, 60, 6), (40, 60, 8), (120, 300, 14)])
def test_lost_is_what_a_ring_has_overwritten(rate, keep, shifts):
    wanted = range(keep)
    ring = deque(wanted, maxlen=STORE)
    ring.extend(range(1000, 1000 + rate * shifts))
    lost = sum(picture not in ring for picture in wanted)
    state = {"pictures_per_shift": rate, "pictures_to_keep": keep, "shifts_to_copy": shifts}
    assert numbers(**state).lost == lost


def test_the_oldest_goes_with_the_first_picture_that_has_no_room():
    ring = deque(range(60), maxlen=STORE)
    new = 0
    while 0 in ring:
        new += 1
        ring.append(1000 + new)
    assert numbers().room == new


def test_a_store_that_is_too_small_for_what_is_kept_has_lost_it(monkeypatch):
    from cubital import tables  # noqa: PLC0415 - the profile is replaced in it

    small = tables.profile()._replace(stored_pictures=50)
    monkeypatch.setattr(tables, "profile", lambda: small)
    n = numbers(pictures_to_keep=60)
    assert (n.chance, n.room, n.safe_shifts) == (1, 0, 0)
    readings = {r.label: r for r in StoredPictures(pictures_to_keep=60).show().readings}
    assert readings["The oldest is lost, on average, after"].note == "The picture is already gone."


def test_a_chance_is_never_written_as_none_or_certain():
    words = [chance_words(c).replace("\N{NO-BREAK SPACE}", " ") for c in (0, 0.484, 1)]
    assert words == ["below 0.1 %", "48.4 %", "above 99.9 %"]


@pytest.mark.parametrize("shifts", [3, 7])
def test_the_ring_stands_where_the_scales_say(shifts):
    root = ElementTree.fromstring(StoredPictures(shifts_to_copy=shifts).show().svg)
    texts = {t.text.replace("\N{NO-BREAK SPACE}", " "): t for t in root.iter(f"{SVG}text")}
    nought, full = (float(texts[key].get("y")) - 4 for key in ("0 %", "100 %"))
    left, right = (float(texts[key].get("x")) for key in ("0", "14"))
    (ring,) = root.iter(f"{SVG}circle")
    chance = (nought - float(ring.get("cy"))) / (nought - full)
    assert chance == pytest.approx(poisson(40 * shifts).sf(280), abs=0.002)
    assert 14 * (float(ring.get("cx")) - left) / (right - left) == pytest.approx(shifts, abs=0.01)


def test_alt_says_what_the_figure_shows_now():
    figure = StoredPictures()
    assert "Ringed: 3 shifts, chance below 0.1 %." in figure.picture["alt"]
    assert "an upright line at 7.0 shifts" in figure.picture["alt"]
    figure.shifts_to_copy = 7
    assert "Ringed: 7 shifts, chance 48.4 %." in figure.picture["alt"]
    figure.pictures_per_shift, figure.pictures_to_keep = 5, 1
    assert (
        "68.0 shifts, when the picture is lost on average, beyond the scale"
        in (figure.picture["alt"])
    )
