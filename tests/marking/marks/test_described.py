"""The described version: pictures of its own, no help with the others', the same marks."""

import json
import shutil
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest

from cubital.cli import cohort
from cubital.handin.answers import read_answers
from cubital.handin.marks import DESCRIBED, mark
from cubital.handin.released import pictures
from cubital.handin.released import sealed as sealing
from cubital.handin.released.packed import unpacked
from cubital.handin.released.papers import write_papers
from cubital.handin.released.release import Release, read_release, write_release
from cubital.handin.released.sealed import DESCRIBED as DESCRIBED_PAPER
from cubital.handin.released.sealed import folder_of, read_sealed, write_sealed
from cubital.handin.results import MARKED
from cubital.items import WORKSHEETS
from cubital.items.kinds.on_pictures.tally import Tally, read
from cubital.marking.cohort import collecting, course, releasing
from cubital.marking.feedback import returning
from cubital.marking.marks import gradebook
from cubital.scene.files import picture_files, planning, pools, rendering
from cubital.scene.files.planning import SUFFIXES, TRIAL, Job, Rendered, Size, size_name
from cubital.study import folders
from cubital.worksheet import fields
from cubital.worksheet.sitting import marking, sitting

from ...conftest import tamper
from ...counted import computed_points
from ...scene.truth.test_describing import NEVER_SAID

WORKSHEET = "reading-the-vein"
TRIALS = ("read-fork-trials", "read-refill-trials", "read-roll-trials")
PICTURED = ("read-forks", "read-series", *TRIALS)
AUTUMN = "autumn-1"


def drawn_once() -> Callable[[Job], Rendered]:
    """Return a renderer that finds five scenes in all, and gives each job other grain.

    A refill and a flush are told as the roll that they are drawn from, and a trial, whatever was
    drawn, as one that shows what its kind says.
    """
    found: dict[str, Rendered] = {}

    def render(job: Job) -> Rendered:
        kind = "series-roll" if job.kind in {"series-refill", "series-flush"} else job.kind
        if job.kind.startswith(planning.TRIAL):
            kind = "trial-nothing-clear" if job.size.frames > 1 else "trial-fork-clear"
        if kind not in found:
            found[kind] = rendering.rendered(replace(job, kind=kind, seed=5, difficulty=0.3))
        frames = found[kind].frames.copy()
        frames[0, 0, :8] = np.frombuffer(job.seed.to_bytes(8, "big"), np.uint8)
        if not job.kind.startswith(planning.TRIAL):
            return Rendered(frames, found[kind].truth)
        what, band = planning.trial_of(job.kind)
        seen = [what] if what in {"fork", "refill", "flush", "roll"} else []
        told = found[kind].truth["truth"] | {"trial": {"what": what, "band": band, "seen": seen}}
        return Rendered(frames, found[kind].truth | {"truth": told})

    return render


class Play(NamedTuple):
    """A marked course in which one learner had the described version, and the others had not."""

    course: course.Course
    before: bytes  # the usual hand-out before the described one was made
    described: Path
    release: Release
    version: Release
    results: dict[str, Any]
    told: str


def released(where: Path, learners: tuple[str, ...]) -> course.Course:
    """Return a course with its worksheet released both ways, its pools by a cheap renderer."""
    made = course.create(where, [course.Learner(name) for name in learners])
    render, real = drawn_once(), pools.render_pool

    def cheap(folder: Path, *, jobs: Any, progress: Any) -> pools.Pool:
        return real(folder, jobs=jobs, processes=1, render=render, progress=progress)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pools, "render_pool", cheap)
        releasing.release(made, WORKSHEET, AUTUMN)
        made.before = made.handout(WORKSHEET).read_bytes()
        releasing.described_handout(made, WORKSHEET)
    return made


def described_zip(made: course.Course) -> Path:
    return made.handout(WORKSHEET).with_name(f"{WORKSHEET}-described.zip")


def sit_down(desk: type, made: course.Course, learner: str, home: Path, zipped: Path) -> Any:
    """Return a learner's desk with what lies in a hand-out."""
    with zipfile.ZipFile(zipped) as archive:
        archive.extractall(home / learner)

    class Here(desk):
        WORKSHEET = "reading-the-vein"

    return Here(made, learner, home)


LEARNERS = ("cannot-see", "sees", "of-another")


@pytest.fixture(scope="module")
def play(desk: type, tmp_path_factory: pytest.TempPathFactory) -> Play:
    made = released(tmp_path_factory.mktemp("described") / "workspace", LEARNERS)
    homes = tmp_path_factory.mktemp("homes")
    release = made.release(WORKSHEET)
    version = read_release(described_folder(made))
    sit_down(desk, made, "sees", homes, made.handout(WORKSHEET)).answer().hand_in()
    for learner in ("cannot-see", "of-another"):
        here = sit_down(desk, made, learner, homes, described_zip(made))
        here.answer()
        if learner == "of-another":
            leave_blank(here.store.folder / "answers.json")
        path = here.hand_in()
        if learner == "of-another":
            sealed = made.sealed(release).papers
            said_to_be_on_paper(path, f"{DESCRIBED_PAPER}{sealed.paper_of('sees')}")
    assert collecting.collect(made, WORKSHEET) == []
    with pytest.MonkeyPatch.context() as patch:
        told: list[str] = []
        patch.setattr("builtins.print", lambda *words, **_: told.append(" ".join(words)))
        words = {"workspace": made.workspace, "worksheet": WORKSHEET, "unprotected": False}
        cohort._mark(type("Given", (), words))
    results = {row.learner: row for row in gradebook.results(made, WORKSHEET)}
    assert {row.state for row in results.values()} == {MARKED}
    return Play(made, made.before, described_zip(made), release, version, results, "\n".join(told))


def leave_blank(path: Path) -> None:
    """Take one answer out."""
    told = json.loads(path.read_text(encoding="utf-8"))
    assert len(told["items"].pop("read-series")) == 1
    path.write_text(json.dumps(told), encoding="utf-8")


def said_to_be_on_paper(path: Path, paper: str) -> None:
    """Let a hand-in say that it answers this paper, with a check sum that agrees."""
    with zipfile.ZipFile(path) as archive:
        told = json.loads(archive.read("answers.json")) | {"paper": paper}
    tamper(path, {"answers.json": json.dumps(told).encode()})


def described_folder(made: course.Course) -> Path:
    return folder_of(made.workspace, WORKSHEET, AUTUMN) / "described"


def inside(zipped: Path | bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(zipped) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def rows(play: Play, learner: str) -> dict[str, Any]:
    return {row.item: row for row in play.results[learner].items}


# ---------------------------------------------------------------------------------- the hand-out


def test_the_described_hand_out_shares_no_picture_with_the_usual_one(play: Play) -> None:
    usual, own = inside(play.course.handout(WORKSHEET)), inside(play.described)
    pictured = [{n for n in found if "/pictures/" in n} for found in (usual, own)]
    assert not pictured[0] & pictured[1]
    assert not {usual[n] for n in pictured[0]} & {own[n] for n in pictured[1]}
    assert {Path(n).suffix for n in pictured[1]} == {".png", ".jpg", ".txt"}
    assert len(pictured[1]) == 2 * len(pictured[0])
    rest = usual.keys() - pictured[0]
    assert rest == own.keys() - pictured[1]
    files = {f"{WORKSHEET}/release.json", f"{WORKSHEET}/papers.json"}
    assert {n for n in rest if usual[n] != own[n]} == files


def test_its_papers_are_the_usual_ones_but_for_the_pictures(play: Play) -> None:
    usual, own = (
        json.loads(inside(zipped)[f"{WORKSHEET}/papers.json"])
        for zipped in (play.course.handout(WORKSHEET), play.described)
    )
    assert own["seats"] == {one: f"described-{paper}" for one, paper in usual["seats"].items()}
    described_papers = unpacked(own)
    for paper, forms in unpacked(usual).items():
        described = described_papers[f"described-{paper}"]
        assert {item for item in forms if forms[item] != described[item]} == {*PICTURED}
        for item in PICTURED:
            bare = {"picture": "", "trials": []}
            assert forms[item] | bare == described[item] | bare


def test_its_trials_do_not_tell_the_usual_answers_by_their_numbers(play: Play) -> None:
    sealed = read_sealed(play.course.workspace, WORKSHEET, AUTUMN)
    told = pictures.sealed_truths(play.course.workspace, WORKSHEET, AUTUMN)
    numbers = [paper for paper in sealed.rows if not paper.startswith(DESCRIBED_PAPER)]
    alike = [
        kinds(sealed, told, number, item) == kinds(sealed, told, f"{DESCRIBED_PAPER}{number}", item)
        for number in numbers
        for item in TRIALS
    ]
    assert sum(alike) < len(alike) / 10  # twelve kinds in two orders by chance: hardly any


def kinds(sealed: Any, told: pictures.Truths, paper: str, item: str) -> list[str]:
    """Return what the trials of a paper show, in their order."""
    return [
        told(name)["truth"]["trial"]["what"]
        for name in sealed.rows[paper][item]["values"]["trials"]
    ]


def test_nothing_else_than_the_pictures_is_another_in_its_release(play: Play) -> None:
    assert replace(play.version, pictures=play.release.pictures, described=()) == play.release
    assert play.version.described == PICTURED
    names = [{name for row in one.pictures.values() for name in row} for one in play[3:5]]
    assert not names[0] & names[1]


def test_the_usual_hand_out_is_the_same_with_and_without_a_described_one(play: Play) -> None:
    assert play.course.handout(WORKSHEET).read_bytes() == play.before


def test_nothing_in_the_described_hand_out_depends_on_the_usual_pictures(
    play: Play, tmp_path: Path
) -> None:
    # The same to the byte beside any other usual pictures: so it can tell nothing of them.
    left_out = shutil.ignore_patterns("pools", "pictures", "submitted", "autograded", "feedback")
    there = tmp_path / "workspace"
    shutil.copytree(play.course.workspace, there, ignore=left_out)
    pool = play.course.described_pool(play.release).relative_to(play.course.workspace)
    shutil.copytree(play.course.workspace / pool / "pictures", there / pool / "pictures")
    other = course.Course(there)
    shutil.rmtree(described_folder(other))
    usual = replace(play.release, pictures=dict.fromkeys(PICTURED, ("0" * 16,)))
    papers = sealing.made(
        usual,
        usual.listed(),
        secret=other.seal(WORKSHEET),
        seating=other.sealed(usual).papers.seating,
    )
    write_sealed(described_folder(other).parent, papers)
    for folder in (
        other.source(WORKSHEET),
        other.released(WORKSHEET),
        described_folder(other).parent,
    ):
        write_release(folder, usual)
        write_papers(folder, papers.papers)
    (other.released(WORKSHEET) / "pictures").mkdir()
    (other.released(WORKSHEET) / "pictures" / f"{'0' * 16}.png").write_bytes(b"another")
    described_zip(other).unlink()
    releasing.described_handout(other, WORKSHEET)
    assert described_zip(other).read_bytes() == play.described.read_bytes()


def test_its_seed_is_a_secret_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plain = Rendered(np.zeros((1, 24, 32), np.uint8), {"truth": {}})
    small = {"jobs": {"bifurcation": 1}, "sizes": {"picture": Size(32, 24, 4.0)}}
    seeds = [
        pools.render_pool(place(tmp_path, WORKSHEET, AUTUMN), render=lambda _: plain, **small).seed
        for place in (pictures.pool_folder, pictures.described_folder)
    ]
    assert len({*seeds}) == 2
    assert all(len(seed) == 16 * 2 for seed in seeds)  # 16 bytes by chance, hexadecimal


def test_no_word_in_it_names_what_is_asked_for(play: Play) -> None:
    words = [data.decode() for name, data in inside(play.described).items() if ".txt" in name]
    assert len(words) == sum(len(row) for row in play.version.pictures.values())
    for text in words:
        assert text.startswith("The picture has columns 0 to ")
        assert text.endswith("The picture is simulated, not clinically validated.")
        assert not NEVER_SAID.findall(text)


def test_sizes_times_and_order_of_its_files_tell_no_kind(play: Play) -> None:
    kinds = {job["name"]: job["kind"] for job in sealed_jobs(play.course, play.release)}
    with zipfile.ZipFile(play.described) as archive:
        entries = archive.infolist()
    assert {entry.date_time for entry in entries} == {(1980, 1, 1, 0, 0, 0)}
    assert [entry.filename for entry in entries] == sorted(entry.filename for entry in entries)
    sizes = {
        (size_name(kinds[Path(e.filename).stem]), e.file_size)
        for e in entries
        if Path(e.filename).suffix in SUFFIXES
    }
    assert len(sizes) == len({name for name, _ in sizes})  # one for each size of picture
    for names in play.version.pictures.values():
        assert list(names) == sorted(names)


def sealed_jobs(made: course.Course, release: Release) -> list[dict[str, Any]]:
    folder = made.described_pool(release) / "sealed" / "truth"
    return [picture_files.read_json(path)["job"] for path in folder.glob("*.json")]


def test_the_hand_out_opens_and_its_fields_hold_the_words(play: Play, tmp_path: Path) -> None:
    opened = folders.lay_out(tmp_path, "cannot-see", str(play.described))
    folder = opened.notebook.parent
    release = read_release(folder)
    assert release == play.version
    for item_id in PICTURED:
        here = fields.field(sitting(folder), item_id)
        assert here.state == "empty"
        words = here.parts["words"]
        told = words if item_id in TRIALS else [words]
        assert all(one.startswith("The picture has columns 0 to ") for one in told)
    usual = folders.lay_out(tmp_path, "sees", str(play.course.handout(WORKSHEET)))
    seen = fields.field(sitting(usual.notebook.parent), "read-forks")
    assert seen.parts["words"] == ""


# ------------------------------------------------------------------------------------- the marks


def test_who_was_asked_in_the_described_version_is_marked_by_its_pictures(play: Play) -> None:
    found = rows(play, "cannot-see")
    assert {found[item].points for item in PICTURED} == {2, 4, 6}
    assert {found[item].outcome for item in PICTURED} == {"right"}
    assert (
        play.results["cannot-see"].points
        == play.results["sees"].points
        == computed_points(WORKSHEET)
    )


def test_answers_to_trials_are_counted_by_band_from_paper_to_store(play: Play) -> None:
    for item in TRIALS:
        counts = read(rows(play, "sees")[item].tally)
        assert counts == dict.fromkeys(planning.bands(), Tally(2, 0, 0, 2))


def test_results_say_who_was_asked_in_the_described_version(play: Play) -> None:
    told = {item for item, row in rows(play, "cannot-see").items() if row.described}
    assert told == set(PICTURED)
    assert all(DESCRIBED in rows(play, "cannot-see")[item].message for item in PICTURED)
    for learner in ("sees", "of-another"):
        assert not any(row.described for row in rows(play, learner).values())
    assert (
        f"cannot-see: asked in the described version: read-forks, read-series, {', '.join(TRIALS)}"
        in play.told
    )
    assert "\nsees:" not in play.told


def test_an_answer_on_somebody_elses_described_paper_is_refused(play: Play) -> None:
    found = rows(play, "of-another")
    assert found.pop("read-series").outcome == "blank"
    in_field = [row for row in found.values() if not row.is_text]
    assert {(row.outcome, row.points) for row in in_field} == {("refused", 0)}


def test_an_answer_counts_only_where_it_was_asked(play: Play, tmp_path: Path) -> None:
    # On a described paper, where none was made: on another paper, as any copy is.
    there = folder_of(tmp_path, WORKSHEET, AUTUMN)
    shutil.copytree(folder_of(play.course.workspace, WORKSHEET, AUTUMN), there)
    shutil.rmtree(there / "described")
    answers = read_answers(play.course.submitted("cannot-see", WORKSHEET))
    papers = read_sealed(tmp_path, WORKSHEET, AUTUMN)
    asked = papers.asked("read-forks", "cannot-see", answers)
    assert mark(*asked, play.course.truths(play.release)).outcome == "refused"


def test_feedback_says_so_and_tells_the_picture_in_words(play: Play) -> None:
    pages = {page.parts[-3]: page for page in returning.feedback(play.course, WORKSHEET)}
    for learner in ("cannot-see", "sees"):
        page = pages[learner].read_text(encoding="utf-8")
        assert page.count(DESCRIBED) == (len(PICTURED) if learner == "cannot-see" else 0)
        assert page.count('src="data:image/jpeg;base64,') == len(PICTURED)
        assert "There, in squares: column" in page
    words = {name: data for name, data in inside(play.described).items() if ".txt" in name}
    assert len(words) == 14 + 12 * len(TRIALS)
    papers = play.course.sealed(play.release)
    paper = f"{DESCRIBED_PAPER}{papers.papers.paper_of('cannot-see')}"
    picture = papers.question(paper, "read-series").values["picture"]
    event = play.course.truths(play.release)(picture)["truth"]["events"][0]
    page = pages["cannot-see"].read_text(encoding="utf-8")
    told = f"It begins in frame {event['onset_frame']}." if event["visible"] else "No frame shows"
    assert told in page


def test_nbgraders_own_marking_finds_the_version_by_the_answers(play: Play, tmp_path: Path) -> None:
    # As its converter lays it out: the release of the source, beside what was handed in.
    where = shutil.copytree(play.course.workspace / "sealed", tmp_path / "sealed")
    for learner in LEARNERS:
        folder = tmp_path / "autograded" / learner / WORKSHEET
        shutil.copytree(play.course.submitted(learner, WORKSHEET), folder)
        shutil.copy(play.course.source(WORKSHEET) / "release.json", folder)
        here = marking(folder)
        for item_id in PICTURED:
            row = mark(*here.asked(item_id), here.truths)
            assert row == rows(play, learner)[item_id]
    assert where.is_dir()


@pytest.mark.long
def test_nbgraders_own_command_gives_the_same_points(
    play: Play, tmp_path: Path, nbgrader: Any, in_gradebook: Any
) -> None:
    theirs = course.Course(shutil.copytree(play.course.workspace, tmp_path / "theirs"))
    nbgrader(theirs.workspace, "autograde", WORKSHEET, "--force")
    for learner in LEARNERS:
        ours = in_gradebook(play.course, learner, WORKSHEET)
        assert len(ours) == len(WORKSHEETS[WORKSHEET])
        assert in_gradebook(theirs, learner, WORKSHEET) == ours


def test_a_worksheet_without_pictures_has_no_described_version(copy_course: Any, tmp_path: Path):
    made = copy_course(tmp_path / "workspace", ["ada"])
    with pytest.raises(course.CourseError, match="asks about no picture"):
        releasing.described_handout(made, "catheter-sizing")


# ------------------------------------------------------------------------- a whole release


@pytest.mark.long
def test_a_release_whose_seed_suits_no_scene_of_its_difficulty_is_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # With this seed releases ended for good: a roll shows at no scene of difficulty 0.647.
    monkeypatch.setattr(pools.secrets, "token_hex", lambda _: "seed-104")
    made = course.create(tmp_path / "workspace")
    handout = releasing.release(made, WORKSHEET, "tryout1")
    names = {Path(name).stem for name in inside(handout) if Path(name).suffix in SUFFIXES}
    truths = pictures.pool_folder(made.workspace, WORKSHEET, "tryout1") / "sealed" / "truth"
    kinds = [picture_files.read_json(truths / f"{name}.json")["job"]["kind"] for name in names]
    assert sum(not kind.startswith(TRIAL) for kind in kinds) == 14
