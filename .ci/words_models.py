"""Readers who see nothing but the words of options: two trained models, and some blind rules.

The models learn from the questions of other groups what right options sound like, and take in
each question the option that sounds most like it. Position does not reach them, and digits are no
words. Of a question a share is found where several options tie, or where its options are drawn and
it is found for some learners only.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import prod
from statistics import fmean
from typing import NamedTuple

import numpy as np
from scipy.sparse import csr_matrix, hstack, vstack
from scipy.stats import beta
from sklearn.feature_extraction.text import CountVectorizer, TfidfVectorizer
from sklearn.linear_model import LogisticRegression
from sklearn.naive_bayes import MultinomialNB
from words_offered import Offer, Question, in_groups

CONFIDENCE = 0.95
WORDS = r"[^\W\d_]+"
LENGTHS = ("(more words than its rivals)", "(longer words than its rivals)")
FEWEST_GROUPS = 4  # of its own bank to learn from; with fewer, a model learns from all banks
MOST_WORDS = 6  # that are told of a question

# What careful people do and say, by which right options were told from the others.
CAREFUL = frozenset(
    """
    ask asks asked call calls careful carefully check checks compare feel feels felt first hand
    help instructions leave local note only out over policy press protocol report safe senior
    slowly stop stops tell tells ultrasound until wait watch
    """.split()  # noqa: SIM905 - as a list it would be a column of forty lines
)

Offers = Sequence[Offer]
Rule = Callable[[Offer], tuple[float, ...]]


class Share(NamedTuple):
    """How many of so many questions were found, and how many blind choosing finds."""

    found: float
    asked: int
    by_chance: float

    @property
    def share(self) -> float:
        """The found ones as a share of all."""
        return self.found / self.asked

    @property
    def interval(self) -> tuple[float, float]:
        """Return the exact 95 % interval of Clopper and Pearson, by the beta distribution."""
        tail, missed = (1 - CONFIDENCE) / 2, self.asked - self.found
        low = beta.ppf(tail, self.found, missed + 1) if self.found > 0 else 0.0
        high = beta.ppf(1 - tail, self.found + 1, missed) if missed > 0 else 1.0
        return float(low), float(high)


@dataclass(frozen=True)
class Found:
    """One question: the share of its sets that was found, and the words that spoke for the right.

    Each word has its weight in favour of the right option over the mean of its rivals. “no” stands
    before a word of wrong options that its rivals have and it has not.
    """

    question: Question
    share: float
    words: tuple[tuple[str, float], ...]


# ----------------------------------------------------------------------------- the models


class Bayes:
    """Multinomial naive Bayes over single words and pairs of words."""

    name = "naive Bayes"

    def __init__(self) -> None:
        self._words = CountVectorizer(ngram_range=(1, 2), token_pattern=WORDS)
        self._model = MultinomialNB()

    def fit(self, sets: Sequence[Offers], weights: Sequence[float]) -> None:
        """Learn from sets of options, each with a weight."""
        self._words.fit(_texts(sets))
        self._model.fit(self._all(sets), _rights(sets), sample_weight=_each(sets, weights))
        wrong, right = self._model.feature_log_prob_
        self.by_word = right - wrong
        self.names = self._words.get_feature_names_out()

    def seen(self, offers: Offers) -> csr_matrix:
        """Return what it sees of a set of options, a row for each."""
        return self._words.transform(_texts([offers]))

    def _all(self, sets: Sequence[Offers]) -> csr_matrix:
        return vstack([self.seen(offers) for offers in sets], format="csr")


class Regression(Bayes):
    """Logistic regression over weighted words and pairs, and the length beside the rivals'."""

    name = "logistic regression"

    def __init__(self) -> None:
        self._words = TfidfVectorizer(ngram_range=(1, 2), token_pattern=WORDS, sublinear_tf=True)
        self._model = LogisticRegression(C=10.0, class_weight="balanced", max_iter=2000)

    def fit(self, sets: Sequence[Offers], weights: Sequence[float]) -> None:
        """Learn from sets of options, each with a weight."""
        self._words.fit(_texts(sets))
        self._model.fit(self._all(sets), _rights(sets), sample_weight=_each(sets, weights))
        self.by_word = self._model.coef_[0]
        self.names = [*self._words.get_feature_names_out(), *LENGTHS]

    def seen(self, offers: Offers) -> csr_matrix:
        """Return what it sees of a set of options, a row for each."""
        counts = np.array([len(one.text.split()) for one in offers], float)
        letters = np.array([len(one.text) for one in offers]) / counts
        lengths = np.column_stack([np.log(each / each.mean()) for each in (counts, letters)])
        return hstack([super().seen(offers), csr_matrix(lengths)], format="csr")


MODELS: tuple[type[Bayes], ...] = (Bayes, Regression)


def left_out(make: type[Bayes], questions: Iterable[Question]) -> list[Found]:
    """Return what a model finds of each question, trained on the other groups of its bank."""
    asked = list(questions)
    found = []
    for bank in dict.fromkeys(one.bank for one in asked):
        own = [one for one in asked if one.bank == bank]
        for group, held in in_groups(own).items():
            rest = [one for one in own if one.group != group]
            found += of_group(make, held, rest)
    return found


def of_group(make: type[Bayes], held: Iterable[Question], rest: Iterable[Question]) -> list[Found]:
    """Return what a model finds of questions, trained on the rest."""
    model = make()
    pairs = [pair for one in rest for pair in zip(one.offered, one.weights, strict=True)]
    model.fit([offers for offers, _ in pairs], [weight for _, weight in pairs])
    return [_found(model, one) for one in held]


def training(group: str, bank: str, known: Sequence[Question]) -> list[Question]:
    """Return what a model learns from for one group: its bank's others, or all where they are few.

    Only the command for authors needs more than one bank: while a bank is being written.
    """
    others = [one for one in known if one.group != group]
    own = [one for one in others if one.bank == bank]
    return own if len(in_groups(own)) >= FEWEST_GROUPS else others


def _found(model: Bayes, question: Question) -> Found:
    share, more = 0.0, np.zeros(len(model.by_word))
    for offers, weight in zip(question.offered, question.weights, strict=True):
        seen = model.seen(offers)
        share += weight * taken(offers, seen @ model.by_word)
        right = np.array([one.right for one in offers])
        dense = seen.toarray()
        more += weight * (dense[right].mean(axis=0) - dense[~right].mean(axis=0))
    words = more * model.by_word
    most = [place for place in np.argsort(-words)[:MOST_WORDS] if words[place] > 0]
    told = [
        (("" if more[place] > 0 else "no ") + str(model.names[place]), float(words[place]))
        for place in most
    ]
    return Found(question, share, tuple(told))


def taken(offers: Offers, scores: Sequence[float]) -> float:
    """Return the share of the right option among those with the highest score."""
    best = max(scores)
    first = [one.right for one, score in zip(offers, scores, strict=True) if score >= best - 1e-9]
    return sum(first) / len(first)


def counted(found: Iterable[Found]) -> Share:
    """Return how many of the questions were found."""
    listed = list(found)
    chance = fmean(by_chance(one.question) for one in listed)
    return Share(sum(one.share for one in listed), len(listed), chance)


def by_chance(question: Question) -> float:
    """Return the share that blind choosing finds."""
    pairs = zip(question.offered, question.weights, strict=True)
    return sum(weight / len(offers) for offers, weight in pairs)


def helping(found: Iterable[Found]) -> list[tuple[str, int]]:
    """Return the words that spoke for the right option of found questions, and in how many."""
    counts: dict[str, int] = {}
    for one in found:
        for word, _ in one.words if one.share > by_chance(one.question) else ():
            counts[word] = counts.get(word, 0) + 1
    return sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))


def _texts(sets: Iterable[Offers]) -> list[str]:
    return [one.text.lower() for offers in sets for one in offers]


def _rights(sets: Iterable[Offers]) -> list[bool]:
    return [one.right for offers in sets for one in offers]


def _each(sets: Sequence[Offers], weights: Sequence[float]) -> list[float]:
    return [weight for offers, weight in zip(sets, weights, strict=True) for _ in offers]


# ----------------------------------------------------------------------------- the blind rules


def careful_words(text: str) -> int:
    """Return how many careful words a text has."""
    return sum(word.strip(".,:;!?“”()").lower() in CAREFUL for word in text.split())


def _length(one: Offer) -> float:
    return len(one.text)


def _careful(one: Offer) -> float:
    return careful_words(one.text)


def _stop(one: Offer) -> float:
    return one.stops


# A rule takes what has the highest score; among several, it takes one by chance.
RULES: Mapping[str, Rule] = {
    "always the longest": lambda one: (_length(one),),
    "always the shortest": lambda one: (-_length(one),),
    "always the one with most careful words": lambda one: (_careful(one),),
    "always stop": lambda one: (_stop(one),),
    "always stop, by the most careful way": lambda one: (_stop(one), _careful(one)),
    "always stop, by the longest way": lambda one: (_stop(one), _length(one)),
    "always stop, by the shortest way": lambda one: (_stop(one), -_length(one)),
}


def by_rule(rule: Rule, question: Question) -> float:
    """Return the share of a question that a blind rule finds."""
    share = 0.0
    for offers, weight in zip(question.offered, question.weights, strict=True):
        keys = [rule(one) for one in offers]
        share += weight * taken(offers, [sorted(keys).index(key) for key in keys])
    return share


def principles_passed(share_of: Callable[[Question], float], asked: Iterable[Question]) -> float:
    """Return the share of principles that are passed at the first sitting: both of a pair found."""
    groups = in_groups(one for one in asked if one.present).values()
    return fmean(_passed(share_of, group) for group in groups)


def _passed(share_of: Callable[[Question], float], group: Sequence[Question]) -> float:
    """Return how likely both of one pair of a principle's vignettes, drawn from all, are found."""
    pairs = {one.pair: [other for other in group if other.pair == one.pair] for one in group}
    return fmean(prod(map(share_of, pair)) for pair in pairs.values())


def absent_found(share_of: Callable[[Question], float], asked: Iterable[Question]) -> float:
    """Return the share of the marks of the vignettes without the trigger."""
    return fmean(share_of(one) for one in asked if not one.present)
