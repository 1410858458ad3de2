"""The item bank: all items in one table, one item as any learner gets it, an own one begun."""

import argparse
from functools import partial
from pathlib import Path
from typing import Any

from cubital.cli.commands import add_command
from cubital.handin.ids import canonical_id

_PREVIEW = "preview"


def add_commands(commands: argparse._SubParsersAction) -> None:
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
    bank.add_argument("--to", type=Path, metavar="FILE", help="write one item as an HTML page")
    bank.add_argument(
        "--new", metavar="NAME", help="begin an item of your own in the course folder"
    )


def _bank(given: argparse.Namespace) -> int:
    workspace = given.workspace.expanduser().resolve() if given.workspace else None
    if workspace is not None and not workspace.is_dir():
        raise ValueError(f"there is no course folder {workspace}")
    if given.new is not None:
        return _new(workspace, given.new)
    if given.item is not None:
        return _one(given, workspace)
    if given.to is not None:
        raise ValueError("--to writes the page of one item: name the item")
    return _all(given, workspace)


def _new(workspace: Path | None, name: str) -> int:
    from cubital.handin.own import write_template  # noqa: PLC0415 - on use: a quick start
    from cubital.marking.cohort.course import at_work  # noqa: PLC0415

    if workspace is None:
        raise ValueError("say with --workspace in which course folder the item is to be")
    with at_work(workspace, f"beginning the question “{name}”"):
        path = write_template(workspace, name)
    print(f"Change this file to ask your question:\n{path}")
    item = f"own-{name.replace('_', '-')}"
    print(f"Then look at it:\ncubital bank {item} --workspace {workspace}")
    return 0


def _all(given: argparse.Namespace, workspace: Path | None) -> int:
    from cubital.handin.bank import read_bank  # noqa: PLC0415
    from cubital.records.bank import page, summary  # noqa: PLC0415

    read = read_bank(workspace)
    releases = {name: _release(workspace, name, given.release) for name in read.worksheets}
    chosen = {name: getattr(given, name) for name in ("kind", "objective", "worksheet")}
    print(page.listing(summary.entries(read, releases, **chosen)))
    return 0


def _one(given: argparse.Namespace, workspace: Path | None) -> int:
    from cubital.handin.bank import read_bank  # noqa: PLC0415
    from cubital.handin.files import write_text  # noqa: PLC0415
    from cubital.handin.own import own_faults  # noqa: PLC0415
    from cubital.records.bank import page, space, summary  # noqa: PLC0415

    read = read_bank(workspace)
    worksheet = read.worksheet_of(given.item)
    item = read.by_id()[given.item]
    release = _release(workspace, worksheet, given.release)
    if item.id in read.own:
        lesson = summary.objective_of(read, item).lesson
        faults = own_faults(read.own[item.id], partial(release.values, item), lesson)
        if faults:
            raise ValueError("\n".join(["this item cannot be released yet", *faults]))
    learner = canonical_id(given.learner)
    truth, shown = _picture(workspace, release, item, learner)
    drawn = summary.drawn(read, item, release, learner, truth)
    counted = space.space(item, release)
    if given.to is None:
        print(page.text(drawn, counted))
    else:
        write_text(given.to.expanduser(), page.page(drawn, counted, shown))
        print(f"The page is {given.to}. It holds the answer: keep it from learners.")
    return 0


def _release(workspace: Path | None, worksheet: str, name: str | None) -> Any:
    """Return the course folder's release if it is the one asked for, else one to look at."""
    from cubital import tables  # noqa: PLC0415
    from cubital.handin.release import FILE, new_release, read_release  # noqa: PLC0415

    if workspace is not None:
        folder = workspace / "source" / worksheet
        if (folder / FILE).is_file():
            release = read_release(folder)
            if name in {None, release.name}:
                return release
    name = canonical_id(name) if name else _PREVIEW
    return new_release(name, worksheet, profile=tables.profile(workspace))


def _picture(workspace: Path | None, release: Any, item: Any, learner: str) -> tuple[Any, Any]:
    """Return truth and picture of an item on one, where the course folder holds its pool."""
    from cubital.handin import pictures  # noqa: PLC0415

    if workspace is None or not release.pictures.get(item.id):
        return None, None
    pool = pictures.pool_folder(workspace, release.worksheet, release.name)
    name = release.values(item, learner)["picture"]
    told = pictures.truths(pool)(name)
    return told["truth"], pictures.shown(item, None, told, pictures.frames(pool, item, name))
