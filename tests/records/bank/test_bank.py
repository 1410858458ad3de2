"""The bank lists every item and shows one as any learner gets it, by numbers worked by hand."""

import base64
import hashlib
import math
import re
import statistics
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from cubital import cli, items
from cubital.handin.released import pictures
from cubital.handin.released.bank import read_bank
from cubital.handin.released.own import write_template
from cubital.handin.released.papers import seated
from cubital.handin.released.release import new_release, read_release, write_release
from cubital.handin.released.sealed import folder_of, made, write_sealed
from cubital.items.kinds.computed import ComputedItem
from cubital.records.bank import space
from cubital.records.bank.picture import space_svg
from cubital.scene.files import pools

ALL = [item for listed in items.WORKSHEETS.values() for item in listed]


def run(capsys, *words):
    code = cli.main(["bank", *map(str, words)])
    told = capsys.readouterr()
    return code, told.out + told.err


def table(text):
    header, line, *rows, total = text.strip().splitlines()
    starts = [match.start() for match in re.finditer(r"(?<!\S)-+", line)]
    columns = [slice(a, b) for a, b in zip(starts, [*starts[1:], None], strict=True)]
    names = [header[column].strip() for column in columns]
    found = [dict(zip(names, (row[c].strip() for c in columns), strict=True)) for row in rows]
    return found, total


def outer_diameter(release, learner):
    """The French item's draw by hand: 0.60 to 2.20 mm in hundredths, by SHA-256 of its names."""
    name = f"{release}\0{learner}\0sizing-french\x000\x000".encode()
    return (60 + int.from_bytes(hashlib.sha256(name).digest()[:8], "big") % 161) / 100


def test_all_items_stand_in_the_table_once_with_their_slips_and_points(capsys):
    code, text = run(capsys)
    rows, total = table(text)
    assert code == 0
    assert sorted(row["id"] for row in rows) == sorted(item.id for item in ALL)
    by_id = {row["id"]: row for row in rows}
    for item in ALL:
        row = by_id[item.id]
        assert (row["kind"], float(row["points"])) == (item.kind, item.points)
        if isinstance(item, ComputedItem):
            assert int(row["slips"]) == len(item.slips)
    # of six vignettes four have five ways and two have four, one of each right: 4 x 4 + 2 x 3
    assert by_id["cannot-size-first"] | {"worksheet": "", "note": ""} == {
        "id": "cannot-size-first",
        "kind": "choice",
        "worksheet": "",
        "objective": "measure-vein",
        "points": "2",
        "critical": "critical",
        "slips": "22",
        "note": "",
    }
    assert total == f"{len(ALL)} items, {sum(item.points for item in ALL):g} points"


def test_the_table_goes_by_objective_then_kind_and_can_be_narrowed(capsys):
    _, text = run(capsys, "--worksheet", "catheter-sizing")
    rows, _ = table(text)
    assert [row["objective"] for row in rows] == [
        *["size-dimensions"] * 2,
        *["size-ratio"] * 2,
        *["size-choice"] * 3,
        *["measure-vein"] * 4,
        *["flow"] * 2,
        *["drip"] * 2,
        "-",
    ]
    assert [row["kind"] for row in rows[4:7]] == ["choice", "number", "text"]
    _, text = run(capsys, "--objective", "size-choice", "--kind", "text")
    assert [row["id"] for row in table(text)[0]] == ["sizing-reasons"]


@pytest.mark.parametrize("option", ["--kind", "--objective", "--worksheet"])
def test_what_there_is_not_is_told_with_what_there_is(capsys, option):
    code, text = run(capsys, option, "nothing")
    assert code == 1
    assert f"there is no {option[2:]} “nothing”; there are: " in text
    code, text = run(capsys, "sizing-franch")
    assert (code, "there are: sizing-upper-diameter" in text) == (1, True)


def test_an_item_is_drawn_for_any_learner_with_answer_and_slips(capsys):
    for learner in ("ann", "ben.b"):
        outer = outer_diameter("preview", learner)
        _, text = run(capsys, "sizing-french", "--learner", learner)
        words = " ".join(text.split())
        assert f"A catheter measures {outer:.2f} mm across its outside." in words
        assert f"Right: {3 * outer:.6g} Fr" in words
        assert f"± {0.01 * 3 * outer:.3g} Fr" in words
        assert f"radius-for-diameter: {1.5 * outer:.6g} Fr" in words
        assert f"french-upside-down: {outer / 3:.6g} Fr" in words
        assert f"circumference-for-french: {math.pi * outer:.6g} Fr" in words
        assert "Comes out when the radius is multiplied: start from the whole way across." in words
        assert "Mended by: “Gauge, millimetres and French” in 40-catheter-sizing" in words


def test_the_spread_over_learners_is_that_of_the_draw():
    release = new_release("spring", "catheter-sizing")
    found = space.space(items.find("sizing-french"), release)
    by_hand = [3 * outer_diameter("spring", f"learner-{n:03d}") for n in range(500)]
    quarters = statistics.quantiles(by_hand, n=4, method="inclusive")
    right = found.outcomes[0]
    assert right.name == "right answer"
    assert right.five == pytest.approx([min(by_hand), *quarters, max(by_hand)])
    assert [row.name for row in found.outcomes[1:]] == [
        "radius-for-diameter",
        "french-upside-down",
        "circumference-for-french",
    ]
    assert found.spreads[0].five == pytest.approx([value / 3 for value in right.five])


def test_of_a_choice_it_tells_how_often_each_option_is_right():
    release = new_release("spring", "catheter-sizing")
    item = items.find("sizing-smallest-adequate")
    names = [f"learner-{number:03d}" for number in range(500)]
    shown = [item.options(release.values(item, name)) for name in names]
    right = Counter(option.key for options in shown for option in options if option.right)
    found = {count.name: dict(count.rows) for count in space.space(item, release).answers}
    assert found["Option that is right"] == dict(right)
    places = found["Place of the right option"]
    assert sum(places.values()) == 500
    assert set(places) == {"1", "2", "3", "4"}


@pytest.mark.parametrize("kind", ["number", "choice", "expression", "text", "order", "table"])
def test_every_kind_has_text_and_picture(kind, capsys):
    item = next(item for item in ALL if item.kind == kind)
    code, text = run(capsys, item.id)
    assert code == 0
    assert item.title in text
    worksheet = next(name for name, listed in items.WORKSHEETS.items() if item in listed)
    svg = space_svg(space.space(item, new_release("spring", worksheet), learners=60))
    assert svg.startswith("<?xml") or kind == "text"


class Page(HTMLParser):
    """What of a page is read by who does not see it."""

    def __init__(self, text):
        super().__init__()
        self.images, self.headers, self.links, self.captions = [], [], [], 0
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        told = dict(attrs)
        if tag == "img":
            self.images.append(told)
        if tag == "th":
            self.headers.append(told.get("scope"))
        self.captions += tag == "caption"
        self.links += [value for name, value in attrs if name in {"src", "href"}]


def test_the_page_stands_alone_and_is_read_without_seeing(tmp_path, capsys):
    path = tmp_path / "page.html"
    code, text = run(capsys, "sizing-french", "--to", path)
    assert (code, "keep it from learners" in text) == (0, True)
    html = path.read_text(encoding="utf-8")
    page = Page(html)
    assert all(link.startswith("data:") for link in page.links)
    assert "<script" not in html
    (image,) = page.images
    by_hand = [3 * outer_diameter("preview", f"learner-{n:03d}") for n in range(500)]
    assert f"right answer from {min(by_hand):.3g} to {max(by_hand):.3g}" in image["alt"]
    assert set(page.headers) == {"col", "row"}
    assert page.captions == html.count("<table") == 4
    svg = base64.b64decode(image["src"].partition(",")[2]).decode()
    assert svg.count("url(#") >= 3  # the slips' boxes are hatched: told apart without colour


@pytest.mark.parametrize("kind", ["place", "series"])
def test_an_item_on_a_picture_says_what_it_needs_and_shows_its_pool(kind, capsys):
    item = next(item for item in ALL if item.kind == kind)
    code, text = run(capsys, item.id)
    assert code == 0
    assert "needs a course folder in which the worksheet is released" in " ".join(text.split())
    for name, number in item.pool.items():
        assert f"{name}: {number}" in text


@pytest.fixture
def workspace(tmp_path):
    (tmp_path / "bank.toml").write_text(
        "[items.sizing-french]\npoints = 3\n[items.sizing-area-share]\noff = true\n"
        '[items.nerve-first]\noff = true\ncritical_off = "assessed at the bedside"\n'
    )
    write_template(tmp_path, "room_left")
    return tmp_path


def test_a_course_folders_changes_are_in_the_table(workspace, capsys):
    rows, total = table(run(capsys, "--workspace", workspace)[1])
    by_id = {row["id"]: row for row in rows}
    assert by_id["sizing-french"]["points"] == "3"
    assert by_id["sizing-french"]["note"] == "points changed"
    assert by_id["sizing-area-share"]["note"] == "off"
    assert by_id["nerve-first"]["note"] == "off: assessed at the bedside; 0 of 6 keys signed"
    own = by_id["own-room-left"]
    assert own["note"] == "own, room_left.py"
    assert (own["objective"], own["slips"], own["kind"]) == ("size-ratio", "2", "number")
    assert total.startswith(f"{len(ALL) + 1 - 2} items")
    assert total.endswith("without 2 that are off")


def test_a_new_item_can_be_looked_at_at_once(tmp_path, capsys):
    code, text = run(capsys, "--new", "room_left", "--workspace", tmp_path)
    assert code == 0
    assert f"cubital bank own-room-left --workspace {tmp_path}" in text
    code, text = run(capsys, "own-room-left", "--workspace", tmp_path, "--learner", "ann")
    assert code == 0
    assert "own, room_left.py" in text
    assert run(capsys, "--new", "x")[0] == 1


def test_an_own_item_with_faults_is_told_what_they_are(workspace, capsys):
    path = workspace / "items" / "room_left.py"
    path.write_text(path.read_text().replace("values['gauge']", "values['gage']"))
    code, text = run(capsys, "own-room-left", "--workspace", workspace)
    assert code == 1
    assert re.search(r"room_left\.py: for learner-000, line \d+: KeyError: 'gage'", text)


def release_there(workspace, release, learners=("ann",)):
    """Release a worksheet in a workspace as far as the bank looks at it; return its papers."""
    papers = made(release, release.listed(), secret="s", seating=seated("seed", learners))
    sealed = folder_of(workspace, release.worksheet, release.name)
    for folder in (workspace / "source" / release.worksheet, sealed):
        write_release(folder, release)
    write_sealed(sealed, papers)
    return papers


def test_released_values_are_those_of_the_paper_and_known_in_its_workspace_alone(workspace, capsys):
    papers = release_there(workspace, new_release("autumn", "catheter-sizing"))
    (outer,) = papers.asked("sizing-french", "ann", None)[0].values.values()
    for more in ((), ("--release", "autumn")):
        _, text = run(capsys, "sizing-french", "--workspace", workspace, "--learner", "ann", *more)
        assert f"measures {outer:.2f} mm" in " ".join(text.split())
        assert "As learner ann of release autumn gets it" in text
    for where in ((), ("--workspace", workspace)):
        code, text = run(capsys, "sizing-french", "--release", "spring", *where)
        assert code == 1
        assert "known only in the workspace that made it" in " ".join(text.split())


# ---------------------------------------------------------------------- pass shares, by hand


def test_pass_shares_go_by_what_is_left_and_its_points(workspace):
    bank = read_bank(workspace)
    left = bank.asked("catheter-sizing")
    assert [item.id for item in left if item.id.startswith("own")] == ["own-room-left"]
    release = new_release("spring", "catheter-sizing", listed=left)
    own = {key: row.released for key, row in bank.own.items()}
    sources = {row.released.file: row.source for row in bank.own.values()}
    release = replace(release, off=("sizing-area-share",), own=own, sources=sources)
    curriculum = bank.curriculum(release)
    ratio = curriculum.objective("size-ratio")
    assert ratio.left == ("sizing-ratio", "own-room-left")
    # judges' mean 62.5 and the file's 70 per cent, two points each
    assert ratio.pass_share == pytest.approx((0.625 + 0.7) / 2)
    # means 68.75 of 2 points and 67.5 of 3
    assert curriculum.objective("size-dimensions").pass_share == pytest.approx(
        (2 * 0.6875 + 3 * 0.675) / 5
    )
    # means 53.75 and 65: nothing changed here
    assert curriculum.objective("drip").pass_share == pytest.approx((0.5375 + 0.65) / 2)


def test_a_pass_share_of_the_objective_wins_over_the_worksheets(workspace):
    path = workspace / "bank.toml"
    path.write_text(path.read_text() + "[pass_share]\ncatheter-sizing = 0.8\nsize-ratio = 0.55\n")
    bank = read_bank(workspace)
    curriculum = bank.curriculum(new_release("spring", "catheter-sizing"))
    assert curriculum.objective("size-ratio").pass_share == 0.55
    assert curriculum.objective("drip").pass_share == 0.8
    assert curriculum.objective("reach-way").pass_share != 0.8


def test_released_points_are_the_items_points_wherever_it_is_judged(tmp_path):
    dearer = replace(items.find("sizing-french"), points=5)
    release = new_release("spring", "catheter-sizing", listed=[dearer])
    write_release(tmp_path, release)
    found = read_release(tmp_path).item("sizing-french")
    values = release.values(found, "ann")
    right = {"number": 3 * values["outer_diameter_mm"]}
    assert found.judge(values, right).points == 5
    assert items.find("sizing-french").points == 2


def test_an_own_item_goes_to_an_objective_of_its_worksheet_whatever_the_lesson(workspace):
    """The worksheet on the whole course has objectives of many lessons."""
    path = workspace / "items" / "room_left.py"
    text = path.read_text().replace('"catheter-sizing"', '"whole-course"')
    path.write_text(text.replace('"size-ratio"', '"whole-size"'))
    assert read_bank(workspace).asked("whole-course")[-1].id == "own-room-left"
    path.write_text(text)
    with pytest.raises(ValueError, match="those of whole-course are: whole-size"):
        read_bank(workspace)


def test_with_a_released_pool_the_page_shows_picture_and_truth(tmp_path, capsys):
    pool = pictures.pool_folder(tmp_path, "reading-the-vein", "spring")
    rendered = pools.render_pool(pool, jobs={"bifurcation": 1}, seed="bank", processes=1)
    (name,) = (job.name for job in rendered.jobs)
    release = replace(new_release("spring", "reading-the-vein"), pictures={"read-forks": (name,)})
    left = replace(release, items={"read-forks": release.items["read-forks"]})
    release_there(tmp_path, left, ("learner-000",))
    path = tmp_path / "page.html"
    assert run(capsys, "read-forks", "--workspace", tmp_path, "--to", path)[0] == 0
    html = path.read_text(encoding="utf-8")
    assert f"<td>{name}</td>" in html
    assert "simulated, not clinically validated" in html
    (places,) = re.findall(r"There, in squares: (.*?)\. Your marks", html)
    assert f"{places}</strong>" in html  # what is right is what the picture shows
    assert len(Page(html).images) == 2
