"""What a second reader answers by letter and number is marked as the page would have sent it."""

import importlib
import re
import string
import tomllib
from pathlib import Path

import pytest

from cubital import items
from cubital.scene.files import picture_files, planning
from cubital.worksheet import fields
from cubital.worksheet.sitting import Sitting

from ..conftest import right_answer

CHECKOUT = Path(__file__).resolve().parents[2]
LEARNERS = ("ada.alder", "bo.birch")
BY_LETTER = {"choice", "order", "table"}
ASKED = [
    (worksheet, item)
    for worksheet, listed in items.WORKSHEETS.items()
    for item in listed
    if item.kind in BY_LETTER | {"number"}
]


@pytest.fixture
def script(monkeypatch):
    """Import a script of the checkout by its name."""
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")
    return importlib.import_module


def shown(release, item, learner, folder):
    """Return what stands on the page, with letters and numbers as a reader counts them."""
    parts = fields.field(Sitting(folder, release, learner), item.id).parts
    letters = parts.get("options") or parts.get("columns") or []
    numbers = parts.get("steps") or parts.get("rows") or []
    return (
        {row["key"]: letter for row, letter in zip(letters, string.ascii_uppercase, strict=False)},
        {row["key"]: number for number, row in enumerate(numbers, 1)},
    )


def as_read(item, typed, letters, numbers):
    """Return an answer as a reader writes it down."""
    if item.kind == "choice":
        return letters[typed]
    if item.kind == "order":
        return [numbers[key] for key in typed]
    if item.kind == "table":
        return {str(numbers[row]): letters[column] for row, column in typed.items()}
    return typed


@pytest.mark.parametrize(("worksheet", "item"), ASKED, ids=[item.id for _, item in ASKED])
def test_the_right_letters_and_numbers_of_the_page_agree_with_the_key(
    script, tmp_path, worksheet, item
):
    asks, marks = script("reading_items"), script("reading_marks")
    release = asks.release_of(worksheet)
    for learner in LEARNERS:
        values = release.values(item, learner)
        on_page = shown(release, item, learner, tmp_path)
        answer = as_read(item, right_answer(item, values), *on_page)
        read = marks.Read(worksheet, item.id, learner, asks.drawn(item, values, None), answer)
        assert marks.marked(read, tmp_path).outcome == "right"
        if item.kind == "choice":
            others = sorted(set(on_page[0].values()) - {answer})
            found = [marks.marked(read._replace(answer=one), tmp_path) for one in others]
            assert {one.outcome for one in found} == {"slip"}


@pytest.mark.parametrize(
    ("worksheet", "item_id"),
    [("reading-the-vein", "read-forks"), ("complications", "comp-series")],
)
def test_what_a_picture_shows_agrees_with_the_key(script, tmp_path, worksheet, item_id):
    asks, marks = script("reading_items"), script("reading_marks")
    item, learner = items.find(item_id), "bo.birch"
    values = asks.release_of(worksheet).values(item, learner)
    frames, told = asks.rendered(worksheet, values["picture"])
    answer = right_answer(item, values, told["truth"])
    if item.kind == "series":
        keys = [option.key for option in item.options(values)]
        answer["what"] = string.ascii_uppercase[keys.index(answer["what"])]
    read = marks.Read(worksheet, item_id, learner, asks.drawn(item, values, frames), answer)
    assert marks.marked(read, tmp_path).outcome == "right"
    other = [] if item.kind == "place" else {"what": "Z"}
    found = marks.marked(read._replace(answer=other), tmp_path)
    assert found.outcome == ("slip" if item.kind == "place" else "refused")


@pytest.fixture
def a_choice(script, tmp_path):
    """Return an answer to a choice, and what marks it."""
    asks, marks = script("reading_items"), script("reading_marks")
    item = items.find("sizing-smallest-adequate")
    values = asks.release_of("catheter-sizing").values(item, "ada.alder")
    drawn = asks.drawn(item, values, None)
    read = marks.Read("catheter-sizing", item.id, "ada.alder", drawn, "A")
    return read, lambda **other: marks.marked(read._replace(**other), tmp_path).outcome


def test_an_answer_without_a_letter_of_the_page_is_refused_and_none_is_blank(a_choice):
    _, outcome = a_choice
    assert [outcome(answer=one) for one in ("E", "", "AB", [1])] == [
        "refused", "blank", "refused", "refused"
    ]  # fmt: skip


def test_agreement_beyond_chance_is_that_of_the_letters(script, a_choice):
    reading, marks = script("reading"), script("reading_marks")
    read, outcome = a_choice
    right = next(letter for letter in "ABCD" if outcome(answer=letter) == "right")
    other = next(letter for letter in "ABCD" if letter != right)

    def told(answers):
        return reading.agreement(
            [(read._replace(answer=one), marks.Marked(outcome(answer=one), one)) for one in answers]
        )

    # One key, two answers: half agree, and half would by chance, since the key has one letter.
    assert (told([right, other]).observed, told([right, other]).kappa) == (0.5, 0.0)
    assert told([other, other]).kappa == 0
    gone = [(read, marks.Marked(marks.GONE, "A")), (read, marks.Marked(marks.CHANGED, "A"))]
    assert reading.agreement(gone) is None
    said = " ".join(reading._agreed(gone))
    assert "1 answers to values that are drawn anew and 1 to items that are not there" in said
    assert "Of the 34 cases 0 were read so." in said


def test_an_answer_to_other_values_is_told_and_not_marked(a_choice):
    _, outcome = a_choice
    assert outcome(drawn="0" * 12) == "drawn anew"
    assert outcome(item="sizing-no-more") == "no longer asked"
    assert outcome(worksheet="no-more") == "no longer asked"


def test_a_line_of_python_is_tried_on_other_inputs_too(script, tmp_path):
    asks, marks = script("reading_items"), script("reading_marks")
    item = items.find("sizing-ratio-code")
    values = asks.release_of("catheter-sizing").values(item, "bo.birch")
    drawn = asks.drawn(item, values, None)
    ratio = values["outer_diameter_mm"] / values["vein_diameter_mm"]
    lines = {
        "return outer_diameter_mm / vein_diameter_mm": "right",
        f"return {ratio!r}": "wrong",
        "return (": "refused",
    }
    reads = [marks.Read("catheter-sizing", item.id, "bo.birch", drawn, line) for line in lines]
    assert [marks.marked(read, tmp_path).outcome for read in reads] == list(lines.values())


def test_a_picture_that_changed_is_another_drawing(script):
    asks = script("reading_items")
    item = items.find("read-forks")
    values = {"picture": "0123456789abcdef"}
    blank = asks.np.zeros((1, 4, 6), asks.np.uint8)
    one = blank.copy()
    one[0, 2, 3] = 1
    assert asks.drawn(item, values, blank) != asks.drawn(item, values, one)


@pytest.mark.parametrize("item_id", ["read-forks", "read-series"])
def test_a_form_and_the_marking_of_it_tell_a_picture_by_the_same_frames(
    script, tmp_path, monkeypatch, item_id
):
    asks, pages = script("reading_items"), script("reading_pages")
    item, learner = items.find(item_id), "ada.alder"
    size = item.size
    dark = asks.np.full((size.frames, size.height_px, size.width_px), 60, asks.np.uint8)
    monkeypatch.setattr(asks, "rendered", lambda *_: planning.Rendered(dark, {}))
    values = asks.release_of("reading-the-vein").values(item, learner)
    source = tmp_path / "reading-the-vein"
    (source / "pictures").mkdir(parents=True)
    picture = picture_files.png_bytes(picture_files.strip(dark))
    picture_files.write_whole(source / "pictures" / f"{values['picture']}.png", picture)
    form = tomllib.loads(pages.template(source, learner, [item]))
    marked_by = asks.frames_of("reading-the-vein", item, values)
    assert form[item_id]["drawn"] == asks.drawn(item, values, marked_by)


def test_the_page_shows_every_disagreement_and_doubt_and_counts_all(script):
    reading, marks = script("reading"), script("reading_marks")

    def row(item, outcome, *, first="right", **told):
        read = marks.Read("readiness", item, "bo.birch", "0", "A", first=first, **told)
        return read, marks.Marked(outcome, f"reader-{item}", f"key-{item}", "way", f"why-{item}")

    found = [
        row("agrees", "right"),
        row("slips", "slip", first="slip: 3 | 4"),
        row("no-form", "refused", first="refused: x"),
        row("part", "wrong", first="wrong: y"),
        row("none", "blank", first="blank"),
        row("anew", "drawn anew"),
        row("gone", "no longer asked"),
        row("mended", "right", first="slip: 9 mm", mended="The question says *below* now."),
        row("doubts", "right", doubt="two readings"),
        row("text", "waiting", first="waiting"),
    ]
    page = reading.written(found)
    table, texts = page.split("## Where")[1].split("## In the")
    shown = re.findall(r"^\| ([\w-]+) \| bo.birch", table, flags=re.MULTILINE)
    assert shown == [read.item for read, _ in found if read.item not in {"agrees", "text"}]
    for words in ("why-slips", "key-slips", "slip: 3 \\| 4", "The question says *below* now."):
        assert words in table
    assert "| slip: 9 mm | right |" in table
    assert "reader-text" in texts
    assert "| readiness | 9 | 4 | 3 | 1 | 1 |" in page
    for name in shown:
        assert f"readiness: {name}, bo.birch" in reading.told(found)


def test_kept_answers_come_back_as_they_were_and_new_ones_take_their_place(script, tmp_path):
    marks = script("reading_marks")
    kept = [
        marks.Read("catheter-sizing", "sizing-french", "ada.alder", "1", '6 "Fr"\n', "", "right"),
        marks.Read("reading-the-vein", "read-forks", "ada.alder", "2", [[1, 2], [3, 4]]),
        marks.Read("reading-the-vein", "read-series", "bo.birch", "3", {"what": "B", "frame": 7}),
    ]
    marks.store(tmp_path / "kept.toml", kept)
    assert marks.stored(tmp_path / "kept.toml") == kept
    old = kept[0]._replace(doubt="which?", mended="Said which.")
    new = marks.Read("catheter-sizing", "sizing-french", "ada.alder", "9", "7 Fr")
    assert marks.merged([*kept[1:], old], [new]) == [
        new._replace(doubt="which?", first="right", mended="Said which."),
        *kept[1:],
    ]


def test_forms_are_read_as_far_as_they_are_filled_in(script, tmp_path):
    marks = script("reading_marks")
    (tmp_path / "bo.birch").mkdir()
    form = tmp_path / "bo.birch" / "readiness.toml"
    row = '[{}]\ndrawn = "1"\nanswer = {}\ndoubt = "{}"\n'
    form.write_text(row.format("a", '""', "") + row.format("b", "[]", "") + row.format("c", 0, "d"))
    assert [(one.item, one.answer, one.doubt) for one in marks.given(tmp_path)] == [
        ("b", [], ""),
        ("c", 0, "d"),
    ]
    form.write_text("[a\n")
    with pytest.raises(SystemExit, match=r"readiness\.toml"):
        marks.given(tmp_path)


@pytest.mark.parametrize("worksheet", items.WORKSHEETS)
def test_every_item_of_a_worksheet_stands_under_one_heading_and_has_an_empty_entry(
    script, worksheet
):
    pages = script("reading_pages")
    source = CHECKOUT / "exercises" / "source" / worksheet / f"{worksheet}.ipynb"
    found = [one.item for one in pages.by_heading(source) if one.item]
    assert found == [item.id for item in items.WORKSHEETS[worksheet]]
    unseen = [item for item in items.WORKSHEETS[worksheet] if item.needs != "truth"]
    form = tomllib.loads(pages.template(source.parent, "ada.alder", unseen))
    assert list(form) == [item.id for item in unseen]
    assert all(row["answer"] == row["doubt"] == "" and row["drawn"] for row in form.values())
