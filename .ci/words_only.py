"""See how far the words of options alone give a question's answer away.

    .venv/bin/python .ci/words_only.py show MODULE
    .venv/bin/python .ci/words_only.py page

``show`` takes a module with choices, such as ``cubital.items.principles.nerve``, or its file. Two
models that were trained on the other worksheets, principles or cases see its options and nothing
else. Of each question that one of them finds, it tells the words that spoke for the right option,
so that an author knows what to reword, and how far blind rules get. ``page`` writes the figures of
all choices to ``assets/docs/words-only.md``.
"""

import argparse
import importlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from types import ModuleType

import generated
import words_models as models
import words_offered as offered
from words_models import Found, Share
from words_offered import BANKS, PRINCIPLES, WORKSHEETS, Question

CHECKOUT = Path(__file__).resolve().parents[1]
PACKAGES = CHECKOUT / "grader"
PAGE = CHECKOUT / "assets" / "docs" / "words-only.md"
COMMAND = ".venv/bin/python .ci/words_only.py page"
OFTEN = 8  # words that are told of a whole module

ALL, CRITICAL = "all", "critical"
TOGETHER = "together"
MOST_FOUND: Mapping[str, float] = {ALL: 0.45, CRITICAL: 0.40}
MOST_PASSED = 0.15  # of the principles, by a blind rule at the first sitting
MOST_ABSENT = 0.50  # of the marks of the vignettes without the trigger

# What is counted together: the bank, and its critical questions or all.
Rows = dict[tuple[str, str, str], Share]


def main() -> None:
    """Do what is asked for."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    commands = parser.add_subparsers(dest="command", required=True)
    show = commands.add_parser("show", help="tell what gives the answers of one module away")
    show.add_argument("module", type=_module, help="its name with dots, or its file")
    commands.add_parser("page", help="write the page of figures")
    given = parser.parse_args()
    if given.command == "page":
        PAGE.write_text(written(), encoding="utf-8", newline="\n")
        generated.record(COMMAND, [PAGE], folder=PAGE.parent)
    else:
        print("\n".join(told(given.module)))


def _module(name: str) -> ModuleType:
    if name.endswith(".py"):
        name = ".".join(Path(name).resolve().relative_to(PACKAGES).with_suffix("").parts)
    return importlib.import_module(name)


# ----------------------------------------------------------------------------- one module


def told(module: ModuleType) -> Iterator[str]:
    """Yield the lines that tell of a module's questions."""
    asked = offered.of_module(module)
    if not asked:
        raise SystemExit(f"{module.__name__} has no choice, no PRINCIPLE and no CASES")
    found = {make.name: list(_found(make, asked)) for make in models.MODELS}
    for place, question in enumerate(asked):
        yield from _of_question(question, {name: held[place] for name, held in found.items()})
    for name, held in found.items():
        yield f"{name}: {_share(held)}"
        words = ", ".join(f"{word} ({count})" for word, count in models.helping(held)[:OFTEN])
        yield f"  words that helped, and in how many questions: {words or 'none'}"
    yield from _blind(asked)


def _found(make: type[models.Bayes], asked: Sequence[Question]) -> Iterator[Found]:
    known = offered.all_questions()
    for group, held in offered.in_groups(asked).items():
        yield from models.of_group(make, held, models.training(group, held[0].bank, known))


def _of_question(question: Question, found: dict[str, Found]) -> Iterator[str]:
    kind = "trigger present" if question.present else "trigger absent"
    yield question.key + (f" ({kind})" if question.bank == PRINCIPLES else "")
    for name, one in found.items():
        words = ", ".join(f"{word} {weight:.1f}" for word, weight in one.words)
        verdict = "FOUND" if one.share > models.by_chance(question) else "not found"
        yield f"  {name}: {verdict} ({one.share:.0%}); for the right one spoke: {words or 'none'}"


def _share(found: Sequence[Found]) -> str:
    count = models.counted(found)
    low, high = count.interval
    return (
        f"{count.found:.1f} of {count.asked} found, {count.share:.0%} "
        f"({low:.0%} to {high:.0%}; chance {count.by_chance:.0%})"
    )


def _blind(asked: Sequence[Question]) -> Iterator[str]:
    for name, rule in models.RULES.items():
        held = [one for one in asked if one.bank == PRINCIPLES]
        if not held and "stop" in name:
            continue
        shares = {one.key: models.by_rule(rule, one) for one in asked}
        line = f"{name}: {sum(shares.values()):.1f} of {len(shares)} found"
        if len([one for one in held if one.present]) > 1:
            passed = models.principles_passed(lambda one, s=shares: s[one.key], held)
            line += f"; passes a first sitting with {passed:.0%}"
        yield line


# ----------------------------------------------------------------------------- all choices


@cache
def found_by(make: type[models.Bayes]) -> tuple[Found, ...]:
    """Return what a model finds of every choice, trained on the other groups of its bank."""
    return tuple(models.left_out(make, offered.all_questions()))


def shares() -> Rows:
    """Return how many were found, by bank and over all, by critical or all, and by model."""
    rows: Rows = {}
    for make in models.MODELS:
        for bank in (*BANKS, TOGETHER):
            held = [one for one in found_by(make) if _is_of(one.question, bank)]
            for kind, chosen in (
                (ALL, held),
                (CRITICAL, [one for one in held if one.question.critical]),
            ):
                if chosen:
                    rows[bank, kind, make.name] = models.counted(chosen)
    return rows


def _is_of(question: Question, bank: str) -> bool:
    """Tell whether a question counts in a bank; together a vignette counts once, as itself."""
    if bank != TOGETHER:
        return question.bank == bank
    return question.bank != WORKSHEETS or question.key not in offered.questions_on_principles()


def rules() -> dict[str, tuple[float, float, float]]:
    """Return of each blind rule: the worksheets' choices found, principles passed, marks absent."""
    known = offered.all_questions()
    vignettes = [one for one in known if one.bank == PRINCIPLES]
    choices = [one for one in known if one.bank == WORKSHEETS]
    rows = {}
    for name, rule in models.RULES.items():

        def share_of(one: Question, rule: models.Rule = rule) -> float:
            return models.by_rule(rule, one)

        rows[name] = (
            sum(map(share_of, choices)) / len(choices),
            models.principles_passed(share_of, vignettes),
            models.absent_found(share_of, vignettes),
        )
    return rows


def written() -> str:
    """Return the page."""
    return "\n".join(_lines()) + "\n"


def _lines() -> Iterator[str]:
    yield "# What the words of the options give away"
    yield ""
    yield (
        "Two models see the texts of the options and nothing else: no question, no position. Naive "
        "Bayes counts single words and pairs of words; logistic regression weighs them, and the "
        "length of an option beside its rivals. Each is trained on all worksheets, principles or "
        "topics of cases but one, and takes in each question of that one the option that sounds "
        "most like a right one. A question whose options are drawn counts by the share of the "
        "learners for whom it is found. The intervals are exact ones of Clopper and Pearson, at "
        f"95 %. At most {100 * MOST_FOUND[ALL]:.0f} % of all questions and "
        f"{100 * MOST_FOUND[CRITICAL]:.0f} % of "
        "the critical ones may be found; of the principles these are the vignettes with the "
        "trigger. *Together* counts each vignette once, as one of its principle."
    )
    yield ""
    yield "| choices | which | model | found | of | share | interval | by chance |"
    yield "|---|---|---|---|---|---|---|---|"
    for (bank, kind, name), row in shares().items():
        low, high = row.interval
        yield (
            f"| {bank} | {kind} | {name} | {row.found:.1f} | {row.asked} | {100 * row.share:.0f} % "
            f"| {100 * low:.0f} to {100 * high:.0f} % | {100 * row.by_chance:.0f} % |"
        )
    yield ""
    yield "## Blind rules"
    yield ""
    yield (
        "A rule takes one option by a look at the texts, and by chance where several are alike. "
        "*Passed* is the share of principles whose two vignettes with the trigger are both found "
        f"at a first sitting: {100 * MOST_PASSED:.0f} % at most. *Without the trigger* is the "
        "share of the marks of the vignettes in which going on is right: under "
        f"{100 * MOST_ABSENT:.0f} %. The worksheets' options do not say whether they stop; there "
        "the rules of stopping are left out."
    )
    yield ""
    yield "| rule | worksheets' choices found | principles passed | without the trigger |"
    yield "|---|---|---|---|"
    for name, (choices, passed, absent) in rules().items():
        of_sheets = "" if "stop" in name else f"{100 * choices:.0f} %"
        yield f"| {name} | {of_sheets} | {100 * passed:.0f} % | {100 * absent:.0f} % |"
    yield ""
    yield "## Questions that both models find, and the words that tell"
    yield ""
    yield (
        "A word speaks for the right option if right options elsewhere have it oftener than wrong "
        "ones; “no” stands before a word that the rivals have."
    )
    yield ""
    yield from _both(found_by(make) for make in models.MODELS)
    yield ""
    yield f"Made by `{COMMAND}`."


def _both(found: Iterable[Sequence[Found]]) -> Iterator[str]:
    yield "| question | words by naive Bayes | words by logistic regression |"
    yield "|---|---|---|"
    for one, other in zip(*found, strict=True):
        if min(one.share, other.share) > models.by_chance(one.question):
            words = (", ".join(word for word, _ in each.words[:4]) for each in (one, other))
            yield f"| {one.question.key} | {' | '.join(words)} |"


if __name__ == "__main__":
    main()
