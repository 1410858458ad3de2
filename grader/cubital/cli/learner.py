"""What a learner asks for: study, open, hand in."""

import argparse
import contextlib
import sys
import webbrowser
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cubital.cli.commands import Subcommands, add_command
from cubital.handin.ids import canonical_id


def add_commands(commands: Subcommands) -> None:
    """Add ``study``, ``open`` and ``hand-in``."""
    study = add_command(commands, "study", _study, "open the course in the browser")
    learner_options(study)
    lab_options(study)

    opening = add_command(commands, "open", _open, "open one lesson or worksheet in the browser")
    opening.add_argument(
        "what",
        metavar="NOTEBOOK",
        help="a lesson or worksheet by name, or the file that your educator gave out",
    )
    opening.add_argument(
        "--again", action="store_true", help="practise a worksheet afresh, with new values"
    )
    learner_options(opening)
    lab_options(opening)

    handing = add_command(commands, "hand-in", _hand_in, "make the file to hand in")
    handing.add_argument("worksheet", help="the worksheet's name, such as catheter-sizing")
    handing.add_argument("--to", type=Path, help="folder for the file (default: the learner's own)")
    handing.add_argument(
        "--with-how-sure",
        action="store_true",
        help="let the educator see how sure you said you were; it never counts",
    )
    learner_options(handing)


def learner_options(command: argparse.ArgumentParser) -> None:
    """Add who the learner is and where their files are."""
    command.add_argument("--learner", help="your id, as on the roster (default: the last one used)")
    command.add_argument("--workspace", type=Path, help="folder for learners' files")


def lab_options(command: argparse.ArgumentParser) -> None:
    """Add how the page is opened."""
    command.add_argument(
        "--no-browser", action="store_true", help="only print the address, do not open it"
    )
    command.add_argument(
        "--workbench",
        action="store_true",
        help="show it in JupyterLab's workbench, with its code, instead of on the course's page",
    )
    command.add_argument("--port", type=int, help="port on this computer (default: a free one)")


def workspace_of(given: argparse.Namespace) -> Path:
    """Return the folder for learners' files that was given, or the usual one."""
    from cubital.study import folders  # noqa: PLC0415

    return (given.workspace or folders.default_workspace()).expanduser()


def learner_id(given: argparse.Namespace) -> str:
    """Return the id given, remembered or asked for at the terminal."""
    from cubital.study import folders  # noqa: PLC0415

    name = given.learner or folders.remembered_learner(workspace_of(given))
    if name is None and sys.stdin.isatty():
        name = input("Your learner id, as on the roster: ")
    if name is None:
        raise ValueError("say who you are with --learner ID, the id on the roster")
    return canonical_id(name)


def _study(given: argparse.Namespace) -> int:
    from cubital.study import folders  # noqa: PLC0415

    given.what, given.again = folders.lesson_names()[0], False
    return _open(given)


def _open(given: argparse.Namespace) -> int:
    from cubital.study import folders  # noqa: PLC0415

    learner, workspace = learner_id(given), workspace_of(given)
    opened = folders.lay_out(workspace, learner, given.what, again=given.again)
    return show(given, learner, workspace, opened)


def show(given: argparse.Namespace, learner: str, workspace: Path, opened: Any) -> int:
    """Open a notebook in the browser, with every page that is reached from there.

    Where a server of this learner's folder runs already, the page is opened in that one.
    """
    from cubital.study import folders, lab, serving, ways  # noqa: PLC0415

    folders.remember_learner(workspace, learner)
    print(f"Opening {opened.notebook.name} for {learner} ...")
    state = workspace / ".lab" / learner
    way = ways.WORKBENCH if given.workbench else ways.PAGE
    server = lab.Lab(
        opened.folder,
        state,
        port=given.port,
        way=way,
        meanwhile=lambda: folders.lay_out_course(opened.folder),
    )
    with serving.ended_by_signals(), serving.only_one(state) as alone:
        if not alone:
            _open_in_running(given, server, opened.notebook, way)
        elif given.workbench:
            _serve_workbench(given, server, opened)
        else:
            _serve_page(given, server, opened)
    return 0


def _serve_page(given: argparse.Namespace, server: Any, opened: Any) -> None:
    from cubital.study import folders  # noqa: PLC0415
    from cubital.study.page import serving  # noqa: PLC0415

    with server, _until_stopped():
        kernel = serving.start_kernel(server)
        with serving.warmed(server, kernel, opened.notebook):
            _browse(given, server, opened.notebook, kernel)
            _ready(server.url(opened.notebook, kernel))
        serving.wait(server, [server.root / name for name in folders.worksheet_names()])


def _serve_workbench(given: argparse.Namespace, server: Any, opened: Any) -> None:
    from cubital.study import folders  # noqa: PLC0415
    from cubital.study.workbench.runner import Runner  # noqa: PLC0415

    runner = Runner(server, [opened.notebook, *folders.lay_out_course(opened.folder)])
    with server:
        _browse(given, server, opened.notebook)
        runner.run(opened.notebook)
        with _until_stopped():
            _ready(server.url(opened.notebook))
            also = filter(None, (opened.companion, *opened.others))
            runner.serve(filter(folders.is_lesson, also))


def _ready(address: str) -> None:
    print(f"Ready at {address}")
    print("Keep this window open; press Ctrl + C here when you are done.", flush=True)


@contextlib.contextmanager
def _until_stopped() -> Iterator[None]:
    try:
        yield
    except KeyboardInterrupt:  # the usual end, as was just said
        print("\nStopped. Everything saved so far stays.")


def _open_in_running(given: argparse.Namespace, server: Any, notebook: Path, way: Any) -> None:
    from cubital.study import ways  # noqa: PLC0415
    from cubital.study.workbench import runner  # noqa: PLC0415

    server.join()
    if server.way is not way:
        raise RuntimeError(
            f"the course is running already in another window, as its {server.way.name}: end it "
            "there first, by Ctrl + C"
        )
    if way is ways.WORKBENCH:
        runner.run_if_new(server, notebook)
    _browse(given, server, notebook)
    print(
        f"The course is running already in another window: the page is at\n{server.url(notebook)}"
    )


def _browse(given: argparse.Namespace, server: Any, notebook: Path, kernel: str = "") -> None:
    if not given.no_browser:
        webbrowser.open(server.url_for_browser(notebook, kernel))


def _hand_in(given: argparse.Namespace) -> int:
    from cubital.handin.bundle import hand_in  # noqa: PLC0415
    from cubital.worksheet.handing_in import HANDED_IN  # noqa: PLC0415

    learner = learner_id(given)
    folder = workspace_of(given) / learner / given.worksheet
    to = given.to or folder.parent / HANDED_IN
    path = hand_in(folder, learner, to, sure=given.with_how_sure)
    print(f"Give this file to your educator:\n{path}")
    return 0
