"""Release a worksheet: what learners get, free of solutions, for a known number of points."""

import shutil
import zipfile
from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from nbgrader.converters import GenerateAssignment

from cubital import items, tables
from cubital.handin import pictures
from cubital.handin.answers import FILE as ANSWERS_FILE
from cubital.handin.bank import FILE as BANK_FILE
from cubital.handin.bank import Bank
from cubital.handin.files import close_folder, read_json, write_json
from cubital.handin.ids import canonical_id
from cubital.handin.own import own_faults, own_file_names
from cubital.handin.release import FILE as RELEASE_FILE
from cubital.handin.release import Release, new_release, read_release, write_release
from cubital.items import ChoiceItem, NumberItem, PictureItem, TextItem
from cubital.items.kinds.rules import faults
from cubital.marking.cohort.adapting import Wishes, adapted
from cubital.marking.cohort.changed import collected, differences
from cubital.marking.cohort.collecting import waiting
from cubital.marking.cohort.course import Course
from cubital.marking.errors import CourseError
from cubital.marking.feedback.converting import convert
from cubital.marking.notebooks import Notebook, grade_points, solution_lines, source_text
from cubital.scene.files import planning, pools

_MARKS = ("BEGIN SOLUTION", "END SOLUTION", "BEGIN HIDDEN", "END HIDDEN", "BEGIN MARK SCHEME")
_TRIED = 40  # learners for whom a department's figures are tried
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)  # the earliest a zip can hold: equal releases, equal bytes


def release(
    course: Course, worksheet: str, name: str, *, rendered: pools.Progress | None = None
) -> Path:
    """Release a worksheet under a name and return the zip to hand out.

    A second time with the same name does no harm. The name fixes every learner's values, so
    other contents need another name, and once something was handed in the name stays.
    ``rendered`` is called with how many of the release's pictures are rendered, and of how many.

    Raises
    ------
    CourseError
        The worksheet's cells differ from its items, something would leak, or the name cannot
        be used; nothing is left in the release folder then. Or somebody is at work in the
        workspace.
    """
    with course.at_work(f"releasing “{worksheet}”"):
        return _release(course, worksheet, name, rendered)


def _release(course: Course, worksheet: str, name: str, rendered: pools.Progress | None) -> Path:
    folder = course.source(worksheet)
    try:
        name = canonical_id(name)
    except ValueError as error:
        raise CourseError(
            f"{name!r:.60} cannot name a release: use 1 to 40 letters a to z, digits, dots, "
            "hyphens or underscores"
        ) from error
    bank = course.bank(worksheet)
    wanted = _with_pictures(course, _wanted(course, bank, worksheet, name), rendered)
    earlier = read_release(folder) if (folder / RELEASE_FILE).is_file() else None
    _check_name(course, wanted, earlier)
    if (folder / ANSWERS_FILE).exists():
        raise CourseError(
            f"{folder / ANSWERS_FILE} would replace every learner's answers: move it away"
        )
    path = folder / f"{worksheet}.ipynb"
    before = path.read_bytes()
    notebook = _adapted(read_json(path), bank, worksheet)
    _check_points(notebook, wanted)
    if notebook != read_json(path):
        write_json(path, notebook)
    _clear_own(folder, wanted)
    write_release(folder, wanted)
    course.make_seal(worksheet)
    try:
        convert(course, GenerateAssignment, worksheet, force=True)
        close_folder(course.released(worksheet).parent)
        _check_leaks(course, worksheet, notebook, wanted)
        _give_pictures(course, wanted)
    except CourseError:
        _take_back(course, worksheet, earlier)
        path.write_bytes(before)
        raise
    return _make_handout(course, worksheet)


def _check_figures(wanted: Release) -> None:
    """Try the questions under a department's own figures before learners do."""
    if wanted.policy == tables.followed(tables.profile()):
        return
    for item in wanted.listed():
        if item.id in wanted.own or not isinstance(item, NumberItem | ChoiceItem):
            continue
        if found := faults(item, partial(wanted.values, item), learners=_TRIED):
            raise CourseError(
                f"“{item.id}” cannot be asked under the figures of {tables.PROFILE_FILE}: "
                f"{found[0]}. Change a figure, or switch the question off in {BANK_FILE}"
            )


def _wanted(course: Course, bank: Bank, worksheet: str, name: str) -> Release:
    """Return the release as the course folder's bank wants it, its own items checked."""
    own = bank.own_of(worksheet)
    wanted = replace(
        new_release(name, worksheet, profile=course.profile(), listed=bank.asked(worksheet)),
        off=tuple(item.id for item in items.WORKSHEETS[worksheet] if item.id in bank.off),
        own={row.item.id: row.released for row in own},
        sources={row.released.file: row.source for row in own},
    )
    _check_figures(wanted)
    try:
        objectives = bank.curriculum(wanted)
    except ValueError as error:
        raise CourseError(str(error)) from error
    faults = [
        fault
        for row in own
        for fault in own_faults(
            row, partial(wanted.values, row.item), objectives.objective(row.objective).lesson
        )
    ]
    if faults:
        raise CourseError("\n".join(faults))
    return wanted


def _adapted(source: Notebook, bank: Bank, worksheet: str) -> Notebook:
    path = tables.course_folder("exercises") / "source" / worksheet / f"{worksheet}.ipynb"
    wishes = Wishes(
        asked=bank.asked(worksheet),
        off=[item.id for item in items.WORKSHEETS[worksheet] if item.id in bank.off],
        points=[item.id for item in bank.asked(worksheet) if item.id in bank.points],
        own=[item for item in bank.asked(worksheet) if item.id in bank.own],
    )
    return adapted(source, read_json(path), wishes)


def _clear_own(folder: Path, wanted: Release | None) -> None:
    """Take out the own items' files of an earlier release."""
    kept = {row.file for row in wanted.own.values()} if wanted else set()
    for name in own_file_names(folder):
        if name not in kept:
            (folder / name).unlink()


def _check_name(course: Course, wanted: Release, earlier: Release | None) -> None:
    if earlier is None or earlier == wanted:
        return
    taken = collected(course, wanted.worksheet)
    answered = sorted(taken | waiting(course, wanted.worksheet, earlier.name))
    if answered:
        shown = ", ".join(answered[:3]) + (" ..." if len(answered) > 3 else "")
        if left := len(answered) - len(taken):
            shown += f"; {left} in the inbox, not collected yet"
        changes = "; ".join(differences(earlier, wanted))
        raise CourseError(
            f"release “{earlier.name}” is answered already, by {len(answered)} "
            f"{'learner' if len(answered) == 1 else 'learners'} ({shown}): it stays as it is, "
            "under any name. Collect and mark it; to ask otherwise, make a new workspace, copy "
            "bank.toml, items and local-profile.toml into it, and release there."
            + (f" Changed since: {changes}." if changes else "")
        )
    if earlier.name == wanted.name:
        raise CourseError(
            f"release “{wanted.name}” was made with other items or another policy than the course "
            "has now, and a name fixes every learner's values: choose another name. Changed "
            f"since: {'; '.join(differences(earlier, wanted)) or 'the pictures'}."
        )


def _check_points(notebook: dict[str, Any], wanted: Release) -> None:
    cells = grade_points(notebook)
    asked = {key: row.points for key, row in wanted.items.items()}
    faults = [
        *(f"item “{key}” has no grade cell" for key in asked.keys() - cells.keys()),
        *(f"grade cell “{key}” has no item" for key in cells.keys() - asked.keys()),
        *(
            f"“{key}” has {cells[key]:g} points in the worksheet and {points:g} as an item"
            for key, points in asked.items()
            if key in cells and cells[key] != points
        ),
    ]
    if faults:
        raise CourseError(
            f"“{wanted.worksheet}” cannot be released: {'; '.join(sorted(faults))}. Points are set "
            f"in {BANK_FILE}. For the course's own worksheet move the folder "
            f"source/{wanted.worksheet} away and make the workspace again."
        )


def _check_leaks(course: Course, worksheet: str, source: dict[str, Any], wanted: Release) -> None:
    folder = course.released(worksheet)
    notebook = read_json(folder / f"{worksheet}.ipynb")
    text = "\n".join(source_text(cell) for cell in notebook["cells"])
    secret = [*_MARKS, *solution_lines(source)]
    for item in wanted.listed():
        if isinstance(item, TextItem):
            secret.extend(item.mark_scheme)
    own = own_file_names(folder)  # a mark scheme in them is where it belongs
    files = [p for p in folder.iterdir() if p.name not in {f"{worksheet}.ipynb", *own}]
    text += "\n".join(path.read_text(encoding="utf-8", errors="replace") for path in files)
    found = [line for line in secret if line in text]
    outputs = any(cell.get("outputs") for cell in notebook["cells"])
    allowed = {f"{worksheet}.ipynb", *(path.name for path in course.source(worksheet).iterdir())}
    strange = sorted(path.name for path in folder.iterdir() if path.name not in allowed)
    if found or outputs or strange:
        what = found[:1] or (["saved outputs"] if outputs else strange)
        raise CourseError(
            f"the release of “{worksheet}” would give away {what[0]!r:.80}: put it between "
            "BEGIN SOLUTION and END SOLUTION in the source"
        )


def _with_pictures(course: Course, wanted: Release, rendered: pools.Progress | None) -> Release:
    """Render the release's pictures, once, and return it with their names."""
    counts = pictures.wanted(wanted.listed())
    if not counts:
        return wanted
    pool = _rendered(course.pool(wanted), wanted, counts, rendered)
    return replace(wanted, pictures=pictures.assigned(wanted.listed(), pool.jobs))


def _rendered(
    folder: Path, wanted: Release, counts: Mapping[str, int], rendered: pools.Progress | None
) -> pools.Pool:
    try:
        return pools.render_pool(folder, jobs=counts, progress=rendered)
    except planning.NoSceneError as error:
        pictured = [item.id for item in wanted.listed() if isinstance(item, PictureItem)]
        raise CourseError(
            f"the pictures of “{wanted.worksheet}” cannot be rendered: {error}. Switch off the "
            f"question that asks for them in {BANK_FILE}, one of {', '.join(pictured)}, with "
            "off = true, and release the worksheet again"
        ) from error


def _names(release: Release) -> list[str]:
    return sorted(name for row in release.pictures.values() for name in row)


def _give_pictures(course: Course, wanted: Release) -> None:
    """Put the pictures into the release."""
    folder = course.released(wanted.worksheet) / pictures.FOLDER
    for name in _names(wanted):
        folder.mkdir(exist_ok=True)
        shutil.copy2(course.pool(wanted) / pictures.FOLDER / f"{name}.png", folder)


def described_handout(
    course: Course, worksheet: str, *, rendered: pools.Progress | None = None
) -> Path:
    """Make the zip of a release's described version, and return its path.

    It is for learners who cannot see the pictures and have this adjustment. Its pictures are of a
    pool of its own, each with its words; all other questions are those of the release. Marking
    knows the pictures by their names, and says who was asked in this version. ``rendered`` is
    called as in `release`.

    Raises
    ------
    CourseError
        The worksheet asks about no picture, or its pictures cannot be rendered.
    """
    release = course.release(worksheet)
    listed = release.listed()
    counts = pictures.wanted(listed)
    if not counts:
        raise CourseError(f"“{worksheet}” asks about no picture: its usual zip serves everybody")
    folder = course.described_pool(release)
    pool = _rendered(folder, release, counts, rendered)
    names = pictures.assigned(listed, pool.jobs)
    version = replace(release, pictures=names, described=tuple(names))
    write_release(folder, version)
    files = {RELEASE_FILE: (folder / RELEASE_FILE).read_bytes()}
    told = pictures.truths(folder)
    for name in _names(version):
        place = f"{pictures.FOLDER}/{name}"
        files[f"{place}.png"] = (folder / f"{place}.png").read_bytes()
        files[f"{place}{pictures.WORDS}"] = pictures.described(told(name)).encode()
    usual = {
        name: data
        for name, data in _files(course, worksheet).items()
        if not name.startswith(f"{pictures.FOLDER}/")
    }
    path = course.handout(worksheet).with_name(f"{worksheet}-described.zip")
    return _zip(worksheet, path, usual | files)


def _take_back(course: Course, worksheet: str, earlier: Release | None) -> None:
    for path in course.released(worksheet).glob("*"):
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink()
    _clear_own(course.source(worksheet), earlier)
    if earlier is None:
        (course.source(worksheet) / RELEASE_FILE).unlink()
    else:
        write_release(course.source(worksheet), earlier)


def _make_handout(course: Course, worksheet: str) -> Path:
    return _zip(worksheet, course.handout(worksheet), _files(course, worksheet))


def _files(course: Course, worksheet: str) -> dict[str, bytes]:
    folder = course.released(worksheet)
    return {
        file.relative_to(folder).as_posix(): file.read_bytes()
        for file in folder.rglob("*")
        if file.is_file()
    }


def _zip(worksheet: str, path: Path, files: Mapping[str, bytes]) -> Path:
    """Zip files by their place in a worksheet's folder; equal contents give equal bytes."""
    path.parent.mkdir(exist_ok=True)
    part = path.with_suffix(".part")
    with zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in sorted(files.items()):
            entry = zipfile.ZipInfo(f"{worksheet}/{name}", _ZIP_DATE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16  # a plain file that its owner may change
            archive.writestr(entry, data)
    part.replace(path)
    return path
