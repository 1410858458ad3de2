"""Trials are allocated: of forty papers no two share more than a third, and each has its dozen."""

from collections import Counter
from itertools import chain, combinations

import numpy as np
import pytest

from cubital import items
from cubital.handin.released import allocating, pictures
from cubital.items import TrialsItem
from cubital.scene.files import planning
from cubital.scene.files.picture_files import png_bytes

TRIALS = [
    (worksheet, item)
    for worksheet, listed in items.WORKSHEETS.items()
    for item in listed
    if isinstance(item, TrialsItem)
]
FORTY = [str(number) for number in range(1, 41)]
LARGEST_PAPER, LARGEST_HANDOUT = 15e6, 60e6  # bytes
LARGEST_TRIAL, LARGEST_OTHER = 150_000, 310_000


def allocated(worksheet, deep=4, papers=FORTY):
    listed = items.WORKSHEETS[worksheet]
    jobs = planning.planned(pictures.wanted(listed, deep), seed="some")
    return pictures.allocated(listed, jobs, deep, papers, secret="secret"), jobs


@pytest.mark.parametrize("worksheet", sorted({name for name, _ in TRIALS}))
def test_no_two_of_forty_papers_share_more_than_a_third_of_their_trials(worksheet):
    found, _ = allocated(worksheet)
    sets = [
        {(item, name) for item, rows in found.items() if len(rows["1"]) > 4 for name in rows[paper]}
        for paper in FORTY
    ]
    for one, other in combinations(sets, 2):
        assert len(one & other) <= len(one) / 3


@pytest.mark.parametrize(("worksheet", "item"), TRIALS, ids=lambda one: getattr(one, "id", one))
def test_each_paper_has_as_many_that_show_it_as_that_do_not_in_each_band(worksheet, item):
    found, jobs = allocated(worksheet)
    kinds = {job.name: job.kind for job in jobs}
    for paper in FORTY:
        own = [planning.trial_of(kinds[name]) for name in found[item.id][paper]]
        assert len(set(found[item.id][paper])) == len(own)
        shows = Counter(band for what, band in own if what == item.looked_for)
        others = Counter(band for what, band in own if what != item.looked_for)
        assert shows == others == dict.fromkeys(item.bands, item.each)


@pytest.mark.parametrize(("worksheet", "item"), TRIALS, ids=lambda one: getattr(one, "id", one))
def test_every_trial_of_the_pool_is_on_some_paper(worksheet, item):
    found, jobs = allocated(worksheet)
    deep = 4
    names = pictures.assigned(items.WORKSHEETS[worksheet], jobs, deep)[item.id]
    assert {name for row in found[item.id].values() for name in row} == set(names)


def test_at_least_six_of_each_kind_show_it_and_six_do_not():
    for _, item in TRIALS:
        if not item.always:
            assert item.each * len(item.bands) >= 6


def test_more_papers_than_words_share_half_at_most():
    papers = [str(number) for number in range(100)]
    found = allocating.shares([[f"{c}{n}" for n in range(4)] for c in range(12)], papers, seed="x")
    assert max(len(set(a) & set(b)) for a, b in combinations(found.values(), 2)) <= 8


def test_words_are_as_far_apart_as_they_must_be():
    for deep in (2, 3, 4):
        for one, other in combinations(allocating.words(6, deep), 2):
            assert sum(a == b for a, b in zip(one, other, strict=True)) <= allocating.AGREE


def length_of(kind):
    """How long the file of a picture of a kind is, which all of its kind share."""
    if (how := planning.kept(kind)) is not None:
        return how.length
    size = planning.usual_sizes()[planning.size_name(kind)]
    return len(png_bytes(np.zeros((size.height_px * size.frames, size.width_px), np.uint8)))


def test_pictures_stay_within_what_a_learner_and_a_cohort_can_load():
    paper = handout = 0
    for item in chain(*items.WORKSHEETS.values()):
        lengths = {kind: length_of(kind) for kind in pictures.wanted([item])}
        is_trials = isinstance(item, TrialsItem)
        most = LARGEST_TRIAL if is_trials else LARGEST_OTHER
        assert max(lengths.values(), default=0) <= most
        cells = item.cells if is_trials else [*lengths][:1]  # on one paper; all have one length
        paper += sum(lengths[kind] for kind in cells)
        handout += sum(lengths[kind] * n for kind, n in pictures.wanted([item], 4).items())
    assert paper <= LARGEST_PAPER
    assert handout <= LARGEST_HANDOUT
    assert (round(paper / 1e6, 1), round(handout / 1e6)) == (9.1, 39)  # as DEVELOPERS.md says


@pytest.mark.parametrize("papers", [FORTY, [str(number) for number in range(56)]])
@pytest.mark.parametrize("deep", [1, 2, 3, 4])
def test_who_counts_what_stands_beside_what_never_tells_the_halves_apart(papers, deep):
    """Whichever two partners change places, every paper is the same: any key would do as well."""
    shows = [[f"shows-{cell}-{at}" for at in range(deep)] for cell in range(6)]
    others = [[f"other-{cell}-{at}" for at in range(deep)] for cell in range(6)]
    found = allocating.shares([*shows, *others], papers, seed="x")
    for one, other in zip(chain(*shows), chain(*others), strict=True):
        changed = {one: other, other: one}
        for own in found.values():
            assert {changed.get(name, name) for name in own} == set(own)


def test_the_first_papers_share_a_third_at_most_whatever_comes_after_them():
    """Ten learners and the spare papers of whoever is not on the roster, on three a cell."""
    deep = allocating.deep_for(10)
    cells = [[f"{cell}-{at}" for at in range(deep)] for cell in range(12)]
    found = allocating.shares(cells, [str(number) for number in range(26)], seed="x")
    first = [set(found[str(number)]) for number in range(10)]
    assert max(len(one & other) for one, other in combinations(first, 2)) <= 4
    assert len(set(found.values())) == len(found)
