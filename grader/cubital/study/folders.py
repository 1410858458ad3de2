"""A learner's folder: working copies of lessons and worksheets, and what is kept of earlier ones.

``<workspace>/<learner>/lessons/`` holds the lessons, ``<workspace>/<learner>/<worksheet>/`` each
worksheet with its release and answers, ``.../kept/`` whatever was replaced: nothing is deleted.
"""

import hashlib
import json
import re
import secrets
import shutil
import tempfile
import zipfile
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

import platformdirs

from cubital import tables
from cubital.handin.files import own_folder, read_json, write_text
from cubital.handin.ids import ROSTER_ID_FILE, answers_as, canonical_id
from cubital.handin.loading import without_formats
from cubital.handin.principles.retakes import is_retake
from cubital.handin.released.department import keep_department, read_department
from cubital.handin.released.papers import FILE as PAPERS_FILE
from cubital.handin.released.papers import read_papers, salted_id
from cubital.handin.released.pictures import FOLDER as PICTURES
from cubital.handin.released.release import (
    AT_ONCE,
    Release,
    new_release,
    read_release,
    write_release,
)
from cubital.handin.released.stubs import CODE_STUB, TEXT_STUB
from cubital.scene.files.atomic import put_in_place
from cubital.study import ready_practices
from cubital.study.edition import keep_as_given
from cubital.study.local_lesson import localised
from cubital.study.practice_page import practised
from cubital.study.practice_pictures import few_pictures

LESSONS = "lessons"
KEPT = "kept"
CLEARED = "cleared"  # in the exercises of a site
_LAST_LEARNER = "last-learner.txt"
_LARGEST_FILE = 8_000_000
_LINK = re.compile(rf"\]\(\.\./{LESSONS}/([\w-]+)\.ipynb\)")


@dataclass(frozen=True)
class Opened:
    """A notebook laid out for a learner, the one that its text links to, and the other lessons."""

    folder: Path
    notebook: Path
    companion: Path | None = None
    others: tuple[Path, ...] = ()


def default_workspace() -> Path:
    """Return the folder for learners' files of this user of the computer."""
    return Path(platformdirs.user_data_dir("cubital", appauthor=False))


def remembered_learner(workspace: Path) -> str | None:
    """Return the id that was used here last."""
    path = workspace / _LAST_LEARNER
    return path.read_text(encoding="utf-8").strip() if path.is_file() else None


def remember_learner(workspace: Path, learner: str) -> None:
    """Remember who used this workspace last: once what they asked for was done, not before."""
    write_text(workspace / _LAST_LEARNER, f"{learner}\n")


def forget_learner(workspace: Path) -> None:
    """Forget who used this workspace last."""
    (workspace / _LAST_LEARNER).unlink(missing_ok=True)


def learner_folder(workspace: Path, learner: str) -> Path:
    """Make and return the folder of a learner."""
    if workspace == default_workspace():
        own_folder(workspace)
    return own_folder(workspace.resolve() / canonical_id(learner))


def lesson_names() -> list[str]:
    """Return the lessons in teaching order."""
    return sorted(path.stem for path in tables.course_folder("modules").glob("*.ipynb"))


def worksheet_names() -> list[str]:
    """Return the course's worksheets: in the order of their lessons, then what joins them."""
    places = tables.course_folder("exercises").glob("source/*/*.ipynb")
    found = {path.parent.name for path in places}
    taught = [name for lesson in lesson_names() if (name := lesson.partition("-")[2]) in found]
    return [*taught, *sorted(found - {*taught})]


def is_lesson(notebook: Path) -> bool:
    """Tell whether a laid out notebook is a lesson; lessons share a kernel, worksheets do not."""
    return notebook.parent.name == LESSONS


def lay_out(workspace: Path, learner: str, what: str, *, again: bool = False) -> Opened:
    """Make the working copy of a lesson, of a worksheet to practise, or of a released one.

    Parameters
    ----------
    what
        A lesson or worksheet by its name, or the path of a released worksheet: the zip or folder
        that the educator gave out.
    again
        Practise a worksheet afresh with new values; the earlier answers are kept.

    Raises
    ------
    ValueError
        Nothing of that name or path; the text lists what there is.
    """
    folder = learner_folder(workspace, learner)
    if what in lesson_names():
        worksheet = what.partition("-")[2]
        companion = None
        if worksheet in worksheet_names():
            companion = _practice(folder, worksheet, again=False)
        others = tuple(lay_out_lesson(folder, name) for name in lesson_names() if name != what)
        return Opened(folder, lay_out_lesson(folder, what), companion, others)
    if what in worksheet_names():
        return _with_lessons(folder, _practice(folder, what, again=again))
    path = Path(what).expanduser()
    if path.exists():
        return _with_lessons(folder, open_released(folder, path))
    known = ", ".join([*lesson_names(), *worksheet_names()])
    raise ValueError(f"there is no “{what}” to open: name one of {known}, or a released file")


def lay_out_course(folder: Path) -> tuple[Path, ...]:
    """Lay out every lesson, and every worksheet to practise, so that all links lead somewhere.

    A worksheet that is there already stays, above all a released one.
    """
    lessons = [lay_out_lesson(folder, name) for name in lesson_names()]
    worksheets = [_practice(folder, name, again=False) for name in worksheet_names()]
    return (*lessons, *worksheets)


def _lessons_of(notebook: Path) -> list[str]:
    """Return the lessons that a worksheet links to: its own first, then the others, last first."""
    linked = set(_LINK.findall(notebook.read_text(encoding="utf-8")))
    names = [name for name in reversed(lesson_names()) if name in linked]
    return sorted(names, key=lambda name: name.partition("-")[2] != notebook.stem)


def _with_lessons(folder: Path, notebook: Path) -> Opened:
    """Lay out the lessons that a worksheet links to beside it."""
    paths = [lay_out_lesson(folder, name) for name in _lessons_of(notebook)]
    return Opened(folder, notebook, next(iter(paths), None), tuple(paths[1:]))


def lay_out_lesson(folder: Path, name: str) -> Path:
    """Copy a lesson, as the learner's department has it; an older edition's is kept beside."""
    notebook = read_json(tables.course_folder("modules") / f"{name}.ipynb", largest=_LARGEST_FILE)
    notebook = localised(notebook, name, folder)
    source = json.dumps(notebook, indent=1, ensure_ascii=False)
    edition = hashlib.sha256(source.encode()).hexdigest()[:16]
    target = folder / LESSONS / f"{name}.ipynb"
    if target.exists():
        try:
            if read_json(target, largest=_LARGEST_FILE)["metadata"]["cubital"] == edition:
                return target
        except (ValueError, KeyError, TypeError):
            pass  # not readable any more, or not ours: kept, and copied afresh
        keep_aside(folder, target)
    notebook["metadata"]["cubital"] = edition
    write_text(target, json.dumps(notebook, indent=1, ensure_ascii=False))
    return target


def _practice(folder: Path, worksheet: str, *, again: bool) -> Path:
    """Lay out a worksheet with values of its own and feedback at once, unless one is there."""
    target = folder / worksheet
    notebook = target / f"{worksheet}.ipynb"
    if notebook.is_file() and not again:
        return notebook
    had = [target, *folder.glob(f"{KEPT}/{worksheet}-*")]
    ready = ready_practices.next_name(folder.name, worksheet, had)
    keep_aside(folder, target)
    return lay_out_practice(folder, worksheet, ready)


def lay_out_practice(folder: Path, worksheet: str, ready: str | None = None) -> Path:
    """Lay out a practice with values of its own, or the one of a name that a site has ready."""
    target = folder / worksheet
    notebook = target / f"{worksheet}.ipynb"
    name = ready or f"practice-{datetime.now(UTC):%Y%m%d}-{secrets.token_hex(4)}"
    release = replace(new_release(name, worksheet, feedback=AT_ONCE), shared=ready is not None)
    write_release(target, replace(release, pictures=few_pictures(release)))
    write_text(notebook, practised(cleared_worksheet(worksheet)))
    keep_as_given(notebook, target)
    return notebook


def practise(folder: Path, worksheet: str) -> Path:
    """Lay out a worksheet to practise, unless it is there, or a released one of its name."""
    return _practice(folder, worksheet, again=False)


def practise_again(folder: Path, worksheet: str) -> Path:
    """Lay out a worksheet to practise with new values; the earlier answers are kept."""
    return _practice(folder, worksheet, again=True)


def cleared_worksheet(worksheet: str) -> str:
    """Return the text of a worksheet's notebook as a learner gets it, without its solutions.

    In a browser it was cleared when the site was built.
    """
    exercises = tables.course_folder("exercises")
    if (cleared := exercises / CLEARED / f"{worksheet}.ipynb").is_file():
        return cleared.read_text(encoding="utf-8")
    without_formats()
    import nbformat  # noqa: PLC0415 - they load long, and most starts lay nothing out
    from nbgrader.preprocessors import ClearSolutions  # noqa: PLC0415

    path = exercises / "source" / worksheet / f"{worksheet}.ipynb"
    step = ClearSolutions(code_stub={"python": CODE_STUB}, text_stub=TEXT_STUB)
    return nbformat.writes(step.preprocess(nbformat.read(path, as_version=4), {})[0])


def open_released(folder: Path, path: Path, roster_id: str = "") -> Path:
    """Copy a released worksheet into a learner's folder, and return its notebook.

    Answers already given to the same release under the same id stay. ``roster_id`` is the id that
    the roster gives, where the folder is not called by it.
    """
    with tempfile.TemporaryDirectory(dir=folder, prefix=".opening-") as name:
        if path.is_dir():
            shutil.copytree(path, name, dirs_exist_ok=True)
        else:
            _unpack(path, Path(name))
        release = read_release(Path(name))
        source = Path(name) / f"{release.worksheet}.ipynb"
        known = release.worksheet in worksheet_names() or is_retake(release.worksheet)
        if not known or not source.is_file():
            raise ValueError(f"{path} holds no worksheet that this course knows")
        keep_department(folder, release, read_department(Path(name)))
        target = folder / release.worksheet
        there = _release_there(target) == release
        learner = roster_id or (answers_as(target) if there else folder.name)
        if is_retake(release.worksheet) and not _names(Path(name), learner):
            raise ValueError(f"{path} was made for somebody else than “{learner}”")
        if not there or answers_as(target) != learner:
            keep_aside(folder, target)
            write_release(target, release)
            shutil.copy(source, target / source.name)
            if learner != folder.name:
                write_text(target / ROSTER_ID_FILE, f"{learner}\n")
        keep_as_given(source, target)
        if (papers := Path(name) / PAPERS_FILE).is_file():
            shutil.copy(papers, target / PAPERS_FILE)
        if (Path(name) / PICTURES).is_dir():
            shutil.copytree(Path(name) / PICTURES, target / PICTURES, dirs_exist_ok=True)
        return target / source.name


def names_of_release(path: Path, learner: str) -> tuple[Release, bool]:
    """Return the release in an educator's zip, and whether its roster names a learner.

    Raises
    ------
    ValueError
        It is no worksheet that was given out.
    """
    with tempfile.TemporaryDirectory(prefix="cubital-") as name:
        _unpack(path, Path(name))
        return read_release(Path(name)), _names(Path(name), learner)


def _names(folder: Path, learner: str) -> bool:
    """Tell whether the papers in a folder have one for this learner by name."""
    papers = read_papers(folder)
    return papers is not None and salted_id(papers.salt, learner) in papers.seats


def _unpack(path: Path, folder: Path) -> None:
    try:
        with zipfile.ZipFile(path) as archive:
            for info in archive.infolist():
                if info.is_dir():
                    continue
                if info.file_size > _LARGEST_FILE:
                    raise ValueError(f"{info.filename!r:.60} in {path.name} is too large")
                inside = Path(info.filename)
                target = folder / PICTURES if inside.parent.name == PICTURES else folder
                target.mkdir(exist_ok=True)
                (target / inside.name).write_bytes(archive.read(info))
    except zipfile.BadZipFile as error:
        raise ValueError(f"{path} is not a released worksheet: {error}") from error


def _release_there(folder: Path) -> Release | None:
    try:
        return read_release(folder)
    except ValueError:
        return None


def keep_aside(folder: Path, path: Path) -> None:
    """Move what stands at ``path`` into the learner's kept folder."""
    if not path.exists():
        return
    kept = folder / KEPT
    kept.mkdir(exist_ok=True)
    moment = f"{datetime.now(UTC):%Y%m%d-%H%M%S}"
    put_in_place(path, kept / f"{path.stem}-{moment}-{secrets.token_hex(2)}{path.suffix}")
