"""Release a worksheet: what learners get, free of solutions, for a known number of points."""

import shutil
import zipfile
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

from nbgrader.converters import GenerateAssignment

from cubital import items, tables
from cubital.handin.answers import FILE as ANSWERS_FILE
from cubital.handin.files import close_folder, read_json, write_json, write_text
from cubital.handin.ids import canonical_id
from cubital.handin.released import pictures
from cubital.handin.released.bank import FILE as BANK_FILE
from cubital.handin.released.bank import Bank
from cubital.handin.released.department import FILE as DEPARTMENT_FILE
from cubital.handin.released.department import Department, given_out, write_department
from cubital.handin.released.own import own_faults, own_file_names
from cubital.handin.released.papers import FILE as PAPERS_FILE
from cubital.handin.released.papers import Seating, seated, write_papers
from cubital.handin.released.release import FILE as RELEASE_FILE
from cubital.handin.released.release import (
    Release,
    new_release,
    read_release,
    write_own_files,
    write_release,
)
from cubital.handin.released.sealed import (
    DESCRIBED_FOLDER,
    Sealed,
    folder_of,
    made,
    seed_of,
    write_sealed,
)
from cubital.handin.released.sealed import FILE as KEYS_FILE
from cubital.items import ChoiceItem, Item, NumberItem, PictureItem, TextItem
from cubital.items.kinds.rules import faults
from cubital.items.minutes import minutes_to_answer
from cubital.marking.cohort.adapting import Wishes, adapted
from cubital.marking.cohort.changed import collected, differences
from cubital.marking.cohort.collecting import waiting
from cubital.marking.cohort.converting import convert
from cubital.marking.cohort.course import Course
from cubital.marking.counting.made import note_made
from cubital.marking.errors import CourseError
from cubital.marking.notebooks import Notebook, grade_points, solution_lines, source_text
from cubital.scene.files import planning, pools
from cubital.scene.files.atomic import put_in_place

_MARKS = ("BEGIN SOLUTION", "END SOLUTION", "BEGIN HIDDEN", "END HIDDEN", "BEGIN MARK SCHEME")
_TRIED = 40  # learners for whom a department's figures are tried
_ZIP_DATE = (1980, 1, 1, 0, 0, 0)  # the earliest a zip can hold: equal releases, equal bytes


def release(
    course: Course,
    worksheet: str,
    name: str,
    *,
    rendered: pools.Progress | None = None,
    now: datetime | None = None,
) -> Path:
    """Release a worksheet under a name and return the zip to hand out.

    A second time with the same name does no harm. The name fixes every learner's values, so
    other contents need another name, and once something was handed in the name stays.
    ``rendered`` is called with how many of the release's pictures are rendered, and of how many.
    ``now`` is when it is made, by the educator's clock.

    Raises
    ------
    CourseError
        The worksheet's cells differ from its items, something would leak, or the name cannot
        be used; nothing is left in the release folder then. Or somebody is at work in the
        workspace.
    """
    with course.at_work(f"releasing “{worksheet}”"):
        path = _release(course, worksheet, name, rendered)
        note_made(course.workspace, worksheet, canonical_id(name), now or datetime.now(UTC))
        return path


def _release(course: Course, worksheet: str, name: str, rendered: pools.Progress | None) -> Path:
    folder = course.source(worksheet)
    try:
        name = canonical_id(name)
    except ValueError as error:
        raise CourseError(
            f"{name!r:.60} cannot name a release: use 1 to 40 letters a to z, digits, dots, "
            "hyphens or underscores, and not con, nul, com1 or the like, which Windows keeps"
        ) from error
    bank, department = course.bank(worksheet), _department(course)
    wanted, pool = _with_pictures(course, _wanted(course, bank, worksheet, name), rendered)
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
    course.make_seal(worksheet)
    papers = _papers(course, wanted, bank.asked(worksheet), pool)
    _clear_own(folder)
    write_release(folder, wanted)
    write_papers(folder, papers.papers)
    write_department(folder, department)
    try:
        convert(course, GenerateAssignment, worksheet, force=True)
        close_folder(course.released(worksheet).parent)
        _check_leaks(course, worksheet, notebook, wanted)
        _give_pictures(course, wanted)
    except CourseError:
        _take_back(course, worksheet, earlier)
        path.write_bytes(before)
        raise
    _seal(course, wanted, papers)
    return make_handout(course, worksheet)


def _department(course: Course) -> Department:
    """Return who approved the department's figures and reviewed which pages, for learners."""
    try:
        return given_out(course.workspace, course.profile())
    except ValueError as error:
        raise CourseError(str(error)) from error


def _papers(
    course: Course, wanted: Release, listed: Sequence[Item], pool: pools.Pool | None
) -> Sealed:
    """Return the papers of a release: as they were made, if they were, or else drawn now."""
    if wanted.name in course.releases(wanted.worksheet):
        try:
            return course.sealed(wanted)  # somebody may have begun to answer
        except ValueError as error:
            raise CourseError(str(error)) from error
    secret = course.seal(wanted.worksheet)
    seating = seated(seed_of(secret, wanted.name, wanted.attempt), course.roster())
    own = _allocated(wanted, pool, seating, secret)
    return made(wanted, listed, secret=secret, seating=seating, allocated=own)


def _allocated(
    wanted: Release, pool: pools.Pool | None, seating: Seating, secret: str
) -> dict[str, dict[str, tuple[str, ...]]]:
    """Return which trials each paper gets; learners' papers come before the spare ones."""
    if pool is None:
        return {}
    listed = wanted.listed()
    deep = pictures.deep_of(listed, _counts(pool), len(seating.seats))
    numbers = (*seating.seats.values(), *seating.spare)
    return pictures.allocated(listed, pool.jobs, deep, numbers, secret=secret)


def _counts(pool: pools.Pool) -> Counter[str]:
    return Counter(job.kind for job in pool.jobs)


def _seal(course: Course, wanted: Release, papers: Sealed) -> None:
    """Keep what decides on a release, and its notebook, where only the educator reads."""
    folder = folder_of(course.workspace, wanted.worksheet, wanted.name)
    if wanted.name not in course.releases(wanted.worksheet):
        write_sealed(folder, papers)
    write_own_files(folder, wanted)
    name = f"{wanted.worksheet}.ipynb"
    write_text(folder / name, (course.released(wanted.worksheet) / name).read_text("utf-8"))
    write_release(folder, wanted)  # last: by it the release is known


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
        minutes=minutes_to_answer(bank.asked(worksheet))
        - minutes_to_answer(items.WORKSHEETS[worksheet]),
    )
    return adapted(source, read_json(path), wishes)


def _clear_own(folder: Path) -> None:
    """Take out the files of own items, which an earlier edition gave to learners."""
    for name in own_file_names(folder):
        (folder / name).unlink()


def _check_name(course: Course, wanted: Release, earlier: Release | None) -> None:
    """Hold that a name stands for one release, and that all that are answered ask the same items.

    nbgrader's gradebook has one set of questions for a worksheet, so that releases can stand side
    by side as long as they differ in figures, pictures and drawn values alone.
    """
    worksheet = wanted.worksheet
    if earlier is not None and (earlier.items, earlier.own) != (wanted.items, wanted.own):
        _check_unanswered(course, wanted, earlier)
    same = course.releases(worksheet).get(wanted.name)
    if same is None and earlier is not None and earlier.name == wanted.name:
        same = earlier
    if same is not None and same != wanted:
        raise CourseError(
            f"release “{wanted.name}” was made with other items or another policy than the course "
            "has now, and a name fixes every learner's values: choose another name. Changed "
            f"since: {'; '.join(differences(same, wanted)) or 'the pictures'}."
        )


def _check_unanswered(course: Course, wanted: Release, earlier: Release) -> None:
    taken = collected(course, wanted.worksheet)
    answered = sorted(taken | waiting(course, wanted.worksheet, earlier.name))
    if not answered:
        return
    shown = ", ".join(answered[:3]) + (" ..." if len(answered) > 3 else "")
    if left := len(answered) - len(taken):
        shown += f"; {left} in the inbox, not collected yet"
    raise CourseError(
        f"release “{earlier.name}” is answered already, by {len(answered)} "
        f"{'learner' if len(answered) == 1 else 'learners'} ({shown}): its questions and their "
        "points stay as they are, under any name. Collect and mark it; to ask other questions, "
        "make a new workspace, copy bank.toml, items and local-profile.toml into it, and release "
        f"there. Changed since: {'; '.join(differences(earlier, wanted))}."
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
    files = [path for path in folder.iterdir() if path.name != f"{worksheet}.ipynb"]
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


def _with_pictures(
    course: Course, wanted: Release, rendered: pools.Progress | None
) -> tuple[Release, pools.Pool | None]:
    """Render the release's pictures, once, and return it with their names, and their pool."""
    listed, folder = wanted.listed(), course.pool(wanted)
    deep = pictures.deep_of(listed, pools.counts_of(folder), len(course.roster()))
    counts = pictures.wanted(listed, deep)
    if not counts:
        return wanted, None
    pool = _rendered(folder, wanted, counts, rendered)
    return replace(wanted, pictures=pictures.assigned(listed, pool.jobs, deep)), pool


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
        shutil.copy2(pictures.lying(course.pool(wanted), name), folder)


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
    place = folder_of(course.workspace, worksheet, release.name) / DESCRIBED_FOLDER
    if not (place / KEYS_FILE).is_file():
        seating = course.sealed(release).papers.seating
        write_release(place, version)
        secret = course.seal(worksheet)
        own = _allocated(version, pool, seating, secret)
        write_sealed(place, made(version, listed, secret=secret, seating=seating, allocated=own))
    files = {name: (place / name).read_bytes() for name in (RELEASE_FILE, PAPERS_FILE)}
    told = pictures.truths(folder)
    for name in _names(version):
        lies = pictures.lying(folder, name)
        files[f"{pictures.FOLDER}/{lies.name}"] = lies.read_bytes()
        files[f"{pictures.FOLDER}/{name}{pictures.WORDS}"] = pictures.described(told(name)).encode()
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
    folder = course.source(worksheet)
    for name in (RELEASE_FILE, PAPERS_FILE, DEPARTMENT_FILE):
        (folder / name).unlink(missing_ok=True)
    if earlier is not None:
        write_release(folder, earlier)
        if earlier.name in course.releases(worksheet):
            write_papers(folder, course.sealed(earlier).papers)


def make_handout(course: Course, worksheet: str) -> Path:
    """Zip what learners get of a released worksheet, and return the path."""
    return zip_of_release(course, worksheet, course.handout(worksheet))


def zip_of_release(course: Course, worksheet: str, path: Path) -> Path:
    """Zip the same into a file of another name, and return its path."""
    return _zip(worksheet, path, _files(course, worksheet))


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
    put_in_place(part, path)
    return path
