"""See how far the words of options alone give a question's answer away.

    .venv/bin/python .ci/words_only.py show MODULE

``show`` takes a module with choices, such as ``cubital.items.principles.nerve``, or its file. Two
models that were trained on the other worksheets, principles or cases see its options and nothing
else. Of each question that one of them finds, it tells the words that spoke for the right option,
so that an author knows what to reword, and how far blind rules get.
"""

import argparse
import importlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import ModuleType

import words_models as models
import words_offered as offered
from words_models import Found
from words_offered import PRINCIPLES, Question

CHECKOUT = Path(__file__).resolve().parents[1]
PACKAGES = CHECKOUT / "grader"
OFTEN = 8  # words that are told of a whole module


def main() -> None:
    """Do what is asked for."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    commands = parser.add_subparsers(dest="command", required=True)
    show = commands.add_parser("show", help="tell what gives the answers of one module away")
    show.add_argument("module", type=_module, help="its name with dots, or its file")
    given = parser.parse_args()
    print("\n".join(told(given.module)))


def _module(name: str) -> ModuleType:
    if name.endswith(".py"):
        name = ".".join(Path(name).resolve().relative_to(PACKAGES).with_suffix("").parts)
    return importlib.import_module(name)


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


if __name__ == "__main__":
    main()
