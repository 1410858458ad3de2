"""People's limbs vary about the size of their site: about it, as far either way, and in shape."""

import numpy as np
import pytest

from cubital.scene.anatomy.limbs import SPREAD, limb
from cubital.scene.chance import generator
from cubital.tables.scene import limb_sizes

PEOPLE = 4000
ERROR = 4 / np.sqrt(PEOPLE)  # four standard errors of a mean, in standard deviations


@pytest.fixture(scope="module", params=sorted(limb_sizes()))
def drawn(request):
    size, rng = limb_sizes()[request.param], generator("limbs", *request.param)
    people = [limb(rng, size) for _ in range(PEOPLE)]
    fields = ("half_width_mm", "taper", "sag_mm")
    return size, *(np.array([getattr(one, name) for one in people]) for name in fields)


def test_widths_spread_about_the_sites_as_a_bell_cut_off_alike_at_both_ends(drawn):
    size, widths, *_ = drawn
    shares = widths / size.half_width_mm
    assert shares.mean() == pytest.approx(1, abs=ERROR * SPREAD)
    assert shares.std() == pytest.approx(SPREAD, rel=0.05)
    # The greatest of 4000 draws from a bell lies about 3.4 standard deviations out; cut off, both
    # ends are met.
    assert shares.max() - 1 == pytest.approx(1 - shares.min(), rel=1e-9)
    assert 2 * SPREAD < shares.max() - 1 < 3 * SPREAD


def test_a_limb_is_as_round_as_its_site_within_a_sixth_whatever_its_width(drawn):
    size, widths, _, sags = drawn
    shares = (sags / widths) / (size.sag_mm / size.half_width_mm)
    assert abs(shares - 1).max() < 1 / 6
    assert shares.mean() == pytest.approx(1, abs=ERROR / 6)
    assert abs(np.corrcoef(shares, widths)[0, 1]) < ERROR


def test_a_limb_narrows_as_its_site_does_within_a_third(drawn):
    size, _, tapers, _ = drawn
    shares = tapers / size.taper
    assert abs(shares - 1).max() < 1 / 3
    assert shares.min() < 1 < shares.max()
