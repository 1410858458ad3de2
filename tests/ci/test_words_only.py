"""The options of a question do not give its answer away by their words: two models try."""

import importlib
import random
from dataclasses import replace
from pathlib import Path

import pytest

from cubital import calc

CHECKOUT = Path(__file__).resolve().parents[2]
NOUNS = "arm band blood drip hand line needle picture pump screen site skin tape tube vein wall"
WORD = random.Random("words")


@pytest.fixture(autouse=True)
def _scripts(monkeypatch):
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")


@pytest.fixture
def models():
    """The readers of words."""
    return importlib.import_module("words_models")


@pytest.fixture
def offered():
    """What is offered in the course."""
    return importlib.import_module("words_offered")


def made(offered, groups=8, each=5, cue=""):
    """Questions of invented words, in which a cue may stand in each right option."""
    found = []
    for number in range(groups * each):
        texts = [" ".join(WORD.choices(NOUNS.split(), k=8)) for _ in range(4)]
        right = WORD.randrange(4)
        firsts = [cue if cue and place == right else "wrist" for place in range(4)]
        offers = tuple(
            offered.Offer(f"{first} {text}", place == right)
            for place, (first, text) in enumerate(zip(firsts, texts, strict=True))
        )
        found.append(offered.Question(f"q{number}", "made", f"g{number % groups}", True, (offers,)))
    return found


@pytest.fixture(params=[0, 1], ids=["bayes", "regression"])
def model(models, request):
    """One of the two models."""
    return models.MODELS[request.param]


def test_a_planted_word_is_found_and_named(models, offered, model):
    found = models.left_out(model, made(offered, cue="pulse"))
    assert models.counted(found).share > 0.95
    assert dict(models.helping(found))["pulse"] >= 38


def test_where_no_word_tells_the_right_option_is_found_by_chance(models, offered, model):
    low, high = models.counted(models.left_out(model, made(offered, each=10))).interval
    assert low < 0.25 < high


def test_a_lone_question_with_the_cue_of_the_others_is_found(models, offered, model):
    """What the command for authors does: the rest is known, one group is asked."""
    cued, fresh = made(offered, cue="pulse"), made(offered, groups=1, each=1)
    with_cue = made(offered, groups=1, each=1, cue="pulse")
    shares = {one.share for one in models.of_group(model, with_cue, cued)}
    assert shares == {1.0}
    assert models.of_group(model, fresh, cued)[0].words != ()


def test_the_interval_is_the_courses_own(models):
    for found, asked in ((0, 9), (3, 9), (9, 9), (17, 60)):
        expected = calc.clopper_pearson_interval(found, asked)
        assert models.Share(found, asked, 0.25).interval == pytest.approx(tuple(expected))


def test_a_draw_counts_by_how_many_learners_get_it(models, offered):
    right, wrong = offered.Offer("a longer text", True), offered.Offer("short", False)
    other = offered.Offer("a still longer text", False)
    question = offered.Question("q", "made", "g", True, ((right, wrong), (right, other)))
    weighted = replace(question, weights=(0.75, 0.25))
    longest = models.RULES["always the longest"]
    assert models.by_rule(longest, weighted) == 0.75
    assert models.by_chance(weighted) == 0.5


@pytest.mark.parametrize(
    ("found", "passed"),
    [
        ("aa", 1 / 3),  # both of one pair of three
        ("ab", 0.0),  # one each of two pairs
        ("aabbc", 2 / 3),
        ("aabbcc", 1.0),
    ],
)
def test_a_first_sitting_is_passed_by_both_vignettes_of_a_pair(models, offered, found, passed):
    asked = [
        offered.Question(f"{pair}{place}", "principles", "lamp", True, (), pair=(pair,))
        for pair in "abc"
        for place in range(2)
    ]
    left = list(found)
    shares = {}
    for one in asked:
        shares[one.key] = float(one.pair[0] in left)
        if one.pair[0] in left:
            left.remove(one.pair[0])
    told = models.principles_passed(lambda one: shares[one.key], asked)
    assert told == pytest.approx(passed)


# ----------------------------------------------------------------------------- the course's own


@pytest.fixture
def words_only():
    """The command."""
    return importlib.import_module("words_only")


def test_few_of_the_courses_choices_are_found_by_their_words(words_only):
    over = {
        key: round(row.share, 2)
        for key, row in words_only.shares().items()
        if row.share > words_only.MOST_FOUND[key[1]]
    }
    assert over == {}, "run `.ci/words_only.py show MODULE` and reword what is found"


def test_together_each_vignette_case_and_other_choice_counts_once(words_only, offered):
    (row, *_) = (v for k, v in words_only.shares().items() if k[:2] == ("together", "all"))
    choices = [one for one in offered.all_questions() if one.bank == "worksheets"]
    assert row.asked == 90 + 64 + len(choices) - 30
    assert words_only.MOST_FOUND == {"all": 0.45, "critical": 0.40}


def test_vignettes_stand_in_the_pairs_in_which_they_are_asked(offered):
    for one in offered.all_questions():
        if one.bank == "principles":
            mates = [other for other in offered.all_questions() if other.pair == one.pair != ()]
            assert len(mates) == (2 if one.present else 0), one.key
            assert {mate.group for mate in mates} <= {one.group}


def test_no_blind_rule_passes_the_principles(words_only):
    for name, (_, passed, absent) in words_only.rules().items():
        assert passed <= words_only.MOST_PASSED, name
        assert absent < words_only.MOST_ABSENT, name


@pytest.mark.long
def test_the_page_tells_the_figures_of_the_questions_that_there_are(words_only):
    is_current = words_only.PAGE.read_text(encoding="utf-8") == words_only.written()
    assert is_current, f"{words_only.PAGE.name} is stale: run {words_only.COMMAND}"


def relabelled(question, seed):
    """The question with another option for the right one, the same in all its sets."""
    chosen = random.Random(f"{seed} {question.key}")
    order = {}
    for offers in question.offered:
        for one in offers:
            order.setdefault(one.text, chosen.random())
    sets = [
        tuple(
            replace(one, right=one.text == max((o.text for o in offers), key=order.get))
            for one in offers
        )
        for offers in question.offered
    ]
    return replace(question, offered=tuple(sets))


def test_with_shuffled_labels_a_model_finds_what_chance_finds(models, offered, model):
    """One shuffle can find 42 %, as phrases come again and its luck with them: eight are enough."""
    shares = []
    for bank in ("worksheets", "principles"):
        known = [one for one in offered.all_questions() if one.bank == bank]
        for seed in range(4):
            asked = [relabelled(one, seed) for one in known]
            shares.append(models.counted(models.left_out(model, asked)).share)
    assert 0.15 < sum(shares) / len(shares) < 0.35, shares


@pytest.mark.parametrize("bank", ["worksheets", "principles"])
def test_a_word_planted_into_the_courses_right_options_is_found(models, offered, model, bank):
    def cued(one):
        return replace(one, text=f"{one.text} Carefully.") if one.right else one

    known = [one for one in offered.all_questions() if one.bank == bank]
    asked = [
        replace(one, offered=tuple(tuple(map(cued, offers)) for offers in one.offered))
        for one in known
    ]
    found = models.left_out(model, asked)
    assert models.counted(found).share > 0.8
    assert dict(models.helping(found))["carefully"] > len(known) / 2
