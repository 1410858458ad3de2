"""What a learner asks for: study, open, hand in."""

import argparse
import contextlib
import sys
import webbrowser
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from cubital.cli.commands import Subcommands, add_command
from cubital.handin.ids import answers_as, canonical_id


def add_commands(commands: Subcommands) -> None:
    """Add ``study``, ``open`` and ``hand-in``."""
    study = add_command(commands, "study", _study, "open the course in the browser")
    study.add_argument(
        "--from",
        type=Path,
        dest="own_file",
        metavar="FILE",
        help="take over your own file from another computer, the one that “Finish here” gave you",
    )
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
    command.add_argument("--learner", help="your id, as on a roster (default: who was here last)")
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
        name = input("Your id, as on your educator's roster, or any of letters and digits: ")
    if name is None:
        raise ValueError(
            "nobody has begun here yet: begin with “cubital study”, which asks for a name, or say "
            "who you are with --learner ID"
        )
    return canonical_id(name)


def _study(given: argparse.Namespace) -> int:
    from cubital.study import folders  # noqa: PLC0415

    if given.own_file is not None:
        given.learner = _taken_over(given)
    learner = given.learner or folders.remembered_learner(workspace_of(given))
    if learner is None and not given.workbench:
        return _welcome(given)
    given.what, given.again = folders.lesson_names()[0], False
    return _open(given)


def _taken_over(given: argparse.Namespace) -> str:
    """Take over a learner's own file; return their id."""
    from cubital.study.learner import carrying  # noqa: PLC0415

    data = given.own_file.expanduser().read_bytes()
    owner, _ = carrying.owner(data)
    if given.learner and canonical_id(given.learner) != owner:
        raise ValueError(
            f"{given.own_file} is of learner “{owner}”, and --learner says “{given.learner}”: "
            "nothing was changed"
        )
    return carrying.take_over(workspace_of(given), data).id


def _welcome(given: argparse.Namespace) -> int:
    """Open the page that asks for a name; nobody is asked for an id."""
    from cubital.study import folders  # noqa: PLC0415
    from cubital.study.learner import pages  # noqa: PLC0415

    workspace = workspace_of(given)
    notebook = pages.lay_out_welcome(workspace.resolve())
    _run(given, workspace, folders.Opened(notebook.parents[1], notebook), meanwhile=lambda: None)
    return 0


def _open(given: argparse.Namespace) -> int:
    from cubital.study import folders  # noqa: PLC0415

    learner, workspace = learner_id(given), workspace_of(given)
    opened = folders.lay_out(workspace, learner, given.what, again=given.again)
    return show(given, learner, workspace, opened)


def show(given: argparse.Namespace, learner: str, workspace: Path, opened: Any) -> int:
    """Open a notebook in the browser, with every page that is reached from there.

    Where a server of this workspace runs already, the page is opened in that one.
    """
    from cubital.study import folders  # noqa: PLC0415
    from cubital.study.learner import pages  # noqa: PLC0415

    folders.remember_learner(workspace, learner)
    print(f"Opening {opened.notebook.name} for {learner} ...")
    _run(given, workspace, opened, meanwhile=lambda: pages.lay_out_all(opened.folder))
    return 0


def _run(
    given: argparse.Namespace, workspace: Path, opened: Any, meanwhile: Callable[[], object]
) -> None:
    """Serve a workspace with a page open, or open it where that is served already."""
    from cubital.study import lab, serving, ways  # noqa: PLC0415

    way = ways.WORKBENCH if given.workbench else ways.PAGE
    state = workspace / ".lab"
    server = lab.Lab(opened.folder.parent, state, port=given.port, way=way, meanwhile=meanwhile)
    with serving.ended_by_signals(), serving.only_one(state) as alone:
        if not alone:
            meanwhile()
            _open_in_running(given, server, opened.notebook, way)
        elif given.workbench:
            _serve_workbench(given, server, opened)
        else:
            _serve_page(given, server, opened)


def _serve_page(given: argparse.Namespace, server: Any, opened: Any) -> None:
    from cubital.study import folders  # noqa: PLC0415
    from cubital.study.page import serving  # noqa: PLC0415

    with server, _until_stopped():
        kernel = serving.start_kernel(server)
        with serving.warmed(server, kernel, opened.notebook):
            _browse(given, server, opened.notebook, kernel)
            _ready(server.url(opened.notebook, kernel))
        serving.wait(server, [opened.folder / name for name in folders.worksheet_names()])


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
    from cubital.handin import made  # noqa: PLC0415
    from cubital.handin.bundle import hand_in  # noqa: PLC0415

    folder = workspace_of(given) / learner_id(given) / given.worksheet
    to = given.to or folder.parent / made.FOLDER
    path = hand_in(folder, answers_as(folder), to, sure=given.with_how_sure)
    print(f"Give this file to your educator:\n{path}")
    return 0
