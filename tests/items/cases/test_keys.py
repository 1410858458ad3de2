"""What is right in each case, as somebody wrote it down who had the story and the options alone.

A key that is changed must be changed here too, by who has read the case again.
"""

import pytest

from cubital import items
from cubital.items.cases.case import CaseItem

BY_HAND = {
    "sizing-slow-order": ("thin-forearm", "flow"),
    "sizing-fast-fluid": ("thick-elbow", "flow"),
    "sizing-unmeasured": ("wait-for-probe", "unknown-width"),
    "sizing-blood-ordered": ("in-place", "flow"),
    "reach-wide-or-near": ("near-short", "depth"),
    "reach-blood-and-smart": ("lower-on", "behind"),
    "reach-one-more-try": ("pass-on", "likely-failure"),
    "reach-nothing-back": ("start", "smooth-flat"),
    "light-empty-picture": ("by-finger", "finger"),
    "light-near-the-limit": ("team", "depth"),
    "light-two-lines": ("pale", "beat"),
    "light-from-the-cold": ("warm", "cold"),
    "read-failing-kidneys": ("hand", "fistula"),
    "read-plaster-and-nodes": ("left", "plaster"),
    "read-high-gain": ("none", "finger"),
    "read-fork-at-twenty": ("fork-25", "fork"),
    "focus-two-mm-beside": ("go-on", "agree"),
    "focus-corners-off": ("aside", "corners"),
    "focus-lamp-that-stays": ("smaller", "area"),
    "focus-alone-at-night": ("aside", "both-hands"),
    "comp-warm-firm-vein": ("leave", "listed"),
    "comp-no-pause": ("new-then-out", "no-pause"),
    "comp-a-little-sore": ("leave", "one-sign"),
    "comp-twenty-minutes-left": ("out", "arm"),
    "ready-half-charge": ("off-between", "quarter"),
    "ready-vein-in-sight": ("without", "plain"),
    "ready-rare-picture": ("officer", "no-consent"),
    "ready-scalp-of-an-infant": ("colleague", "excluded"),
    "patient-fortnight": ("team", "fourteen"),
    "patient-second-attempt": ("right-arm", "good-vein"),
    "patient-from-the-street": ("replace", "unclean"),
    "patient-fourth-day": ("leave", "no-sign"),
    # of the short lessons: written down by their author, nobody else has read them yet
    "blood-two-drips": ("below", "past"),
    "blood-one-digit": ("settle", "differs"),
    "blood-third-tube": ("out", "pale"),
    "child-cream": ("wait", "time"),
    "child-fights": ("pause", "can-wait"),
    "child-hand-on": ("ask-now", "neither"),
}
ASKED = {
    item.id: item
    for listed in items.WORKSHEETS.values()
    for item in listed
    if isinstance(item, CaseItem)
}


def test_every_case_that_is_asked_was_read():
    assert set(ASKED) <= set(BY_HAND)


@pytest.mark.parametrize("key", ASKED)
def test_the_key_is_what_was_written_down(key, drawn):
    way, reason = BY_HAND[key]
    for values in drawn(key)[:20]:
        answer = ASKED[key].read({"way": way, "reason": reason}, values)
        assert ASKED[key].judge(values, answer).outcome == "right"


@pytest.mark.parametrize("key", ASKED)
def test_learners_see_the_options_in_orders_of_their_own(key, drawn):
    for group in ("ways", "reasons"):
        firsts = {values[group][0] for values in drawn(key)}
        assert len(firsts) == 4
