"""The item bank: all items in one table, one item as any learner gets it, an own one begun."""

import argparse
from pathlib import Path

from cubital.cli.commands import Subcommands, add_command


def add_commands(commands: Subcommands) -> None:
    """Add ``bank``."""
    bank = add_command(commands, "bank", _bank, "list the course's items, or look at one of them")
    bank.add_argument("item", nargs="?", metavar="ITEM", help="an item's id; without: list all")
    bank.add_argument("--kind", default="", help="list one kind, such as number or choice")
    bank.add_argument("--objective", default="", help="list the items of one objective")
    bank.add_argument("--worksheet", default="", help="list the items of one worksheet")
    bank.add_argument(
        "--learner", default="learner-000", help="whose values to draw (default: learner-000)"
    )
    bank.add_argument("--release", help="the release to draw them for (default: the present one)")
    bank.add_argument("--workspace", type=Path, help="the course folder whose changes to apply")
    bank.add_argument(
        "--review",
        action="store_true",
        help="the cases and vignettes whose keys clinicians sign, to print",
    )
    bank.add_argument(
        "--lesson",
        metavar="PAGE",
        help="with --review: what a page claims, such as 84-blood-sampling, or all pages, for a "
        "department to approve",
    )
    bank.add_argument(
        "--to", type=Path, metavar="FILE", help="write one item, or the review, as an HTML page"
    )
    bank.add_argument(
        "--new", metavar="NAME", help="begin an item of your own in the course folder"
    )


def _bank(given: argparse.Namespace) -> int:
    from cubital.educator.workspace import course_folder  # noqa: PLC0415 - on use: a quick start

    if given.workspace is not None:
        given.workspace = course_folder(given.workspace)
    if given.new is not None:
        return _new(given)
    if given.review:
        return _review(given) if given.lesson is None else _approve(given)
    if given.lesson is not None:
        raise ValueError("--lesson goes with --review: it prints what a page claims")
    if given.item is not None:
        return _one(given)
    if given.to is not None:
        raise ValueError("--to writes the page of one item: name the item")
    return _all(given)


def _new(given: argparse.Namespace) -> int:
    from cubital.educator.begin_item import begin_item  # noqa: PLC0415

    if given.workspace is None:
        raise ValueError("say with --workspace in which course folder the item is to be")
    begun = begin_item(given.workspace, given.new)
    print(f"Change this file to ask your question:\n{begun.path}")
    print(f"Then look at it:\ncubital bank {begun.item} --workspace {begun.workspace}")
    return 0


def _review(given: argparse.Namespace) -> int:
    from cubital.educator.review import keys_to_sign  # noqa: PLC0415

    found = keys_to_sign(given.workspace, item=given.item, worksheet=given.worksheet)
    if given.to is None:
        print(found.in_words())
    else:
        found.write_page(given.to.expanduser())
        print(f"The page is {given.to}. It holds the answers: keep it from learners.")
    return 0


def _approve(given: argparse.Namespace) -> int:
    from cubital.educator.approve import claims_to_approve  # noqa: PLC0415

    found = claims_to_approve(given.lesson, given.workspace)
    if given.to is None:
        print(found.in_words())
    else:
        found.write_page(given.to.expanduser())
        print(f"The page is {given.to}.")
    return 0


def _all(given: argparse.Namespace) -> int:
    from cubital.educator.bank import list_bank  # noqa: PLC0415

    listed = list_bank(
        given.workspace,
        kind=given.kind,
        objective=given.objective,
        worksheet=given.worksheet,
        release=given.release,
    )
    print(listed.in_words())
    return 0


def _one(given: argparse.Namespace) -> int:
    from cubital.educator.preview import preview  # noqa: PLC0415

    seen = preview(given.item, given.workspace, learner=given.learner, release=given.release)
    if given.to is None:
        print(seen.in_words())
    else:
        seen.write_page(given.to.expanduser())
        print(f"The page is {given.to}. It holds the answer: keep it from learners.")
    return 0
