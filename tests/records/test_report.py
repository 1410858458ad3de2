"""The report's page: whole, escaped, in order, and readable without colour or script."""

import re
from html.parser import HTMLParser

import pytest

from cubital import items
from cubital.handin import passing
from cubital.handin.passing import Decision
from cubital.records import picture, report
from cubital.records.cohort import Problem
from cubital.records.figures import Figure
from cubital.records.report import CAUTION

VOID = {"meta", "link", "br", "img", "hr", "input"}


class Page(HTMLParser):
    """Check nesting, and keep what the tests ask about."""

    def __init__(self, text):
        super().__init__()
        self.open, self.tags, self.headings, self.tables = [], [], [], []
        self.words = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        self.tags.append((tag, attrs))
        if tag in {"h1", "h2", "h3", "h4"}:
            self.headings.append(int(tag[1]))
        if tag == "table":
            self.tables.append({"captions": 0, "headers": [], "first": None, "rows": 0})
        elif self.tables and "table" in self.open:
            table = self.tables[-1]
            table["first"] = table["first"] or tag
            table["captions"] += tag == "caption"
            if tag == "th":
                table["headers"].append(attrs.get("scope"))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if "style" not in self.open:
            self.words.append(data)

    @property
    def text(self):
        return " ".join(" ".join(self.words).split())


@pytest.fixture
def forty(row, sheet, all_right, unmarked):
    """Forty learners: three not marked, the others right but for one item each."""
    known = [item.id for item in items.WORKSHEETS["catheter-sizing"]]
    results = [
        unmarked("l00", "unreadable", "truncated"),
        unmarked("l01", "held", "another release"),
        unmarked("l02", "system_error", "no memory"),
    ]
    for n in range(3, 40):
        key = known[n % len(known)]
        wrong = row(key, 0.0, "slip", slip="radius-for-diameter", message="A slip.")
        results.append(sheet(f"l{n:02}", all_right(**{key.replace("-", "_"): wrong})))
    return results


@pytest.mark.parametrize("n", [0, 1, 40])
def test_page_is_whole_and_in_order_for_any_cohort(page, forty, n):
    found = Page(page(forty[len(forty) - n :] if n < 40 else forty))
    assert found.headings[0] == 1
    assert found.headings.count(1) == 1
    steps = zip(found.headings, found.headings[1:], strict=False)
    assert all(after <= before + 1 for before, after in steps)
    for table in found.tables:
        assert table["first"] == "caption"
        assert table["captions"] == 1
        assert table["headers"]
        assert set(table["headers"]) <= {"col", "row"}
        assert "col" in table["headers"]
    tags = [tag for tag, _ in found.tags]
    assert {"header", "main", "footer", "nav"} <= set(tags)
    assert ("html", {"lang": "en-GB", "data-cubital": "page"}) in found.tags
    ids = [attrs["id"] for _, attrs in found.tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    linked = [attrs["href"][1:] for tag, attrs in found.tags if attrs.get("href", "")[:1] == "#"]
    assert set(linked) <= set(ids)


def test_page_needs_nothing_from_elsewhere(page, forty):
    text = page(forty)
    assert "<script" not in text
    assert not re.search(r"(src|href)=\"(https?:)?//|url\(|@import", text)


def test_sections_stand_in_the_order_that_an_educator_needs(page, forty):
    text = page(forty)
    order = ["attention", "objectives", "picture", "items", "slips", "sources"]
    places = [text.index(f'<h2 id="{name}">') for name in order]
    assert places == sorted(places)
    assert text.index(CAUTION.split("'")[0]) < places[0]


def test_caution_and_the_line_to_competence_are_said(page):
    words = Page(page([])).text
    assert CAUTION in words
    assert "Competence: not assessed here." in words
    assert "only a named assessor sets it" in words


def test_hostile_words_stay_words(page, sheet, row, all_right, unmarked):
    evil = "<script>alert(1)</script>"
    rows = all_right(
        cannot_size_first=row("cannot-size-first", 0.0, "slip", slip=evil, message=evil),
        old=row(evil, 0.0, "slip", slip="s", message=f'"{evil}'),
    )
    text = page(
        [sheet("l1", rows, at=evil), unmarked("l2", "held", evil, evil)],
        names={"l1": evil, "l2": "\x00\x1b[31m\ud800 & <b>"},
        release=evil,
        problems=[Problem(evil, evil, evil)],
        title=evil,
        place=evil,
        notice=evil,
    )
    assert "<script" not in text
    assert "<b>" not in text
    assert "\x00" not in text
    assert "\x1b" not in text
    assert Page(text).text.count(evil) >= 10


def test_half_character_in_a_name_does_not_stop_the_report(tmp_path, unmarked, made_at):
    told = {"worksheet": "catheter-sizing", "made_at": made_at, "names": {"l1": "A\ud800"}}
    path = report.build([unmarked("l1", "held")], tmp_path, **told).page
    assert "A?" in path.read_text(encoding="utf-8")


def test_report_and_marks_are_written_into_the_folder(tmp_path, forty, made_at):
    written = report.build(forty, tmp_path / "report", worksheet="catheter-sizing", made_at=made_at)
    assert written.page == tmp_path / "report" / "index.html"
    assert written.marks.read_bytes()[:3] == b"\xef\xbb\xbf"
    assert sorted(p.name for p in written.page.parent.iterdir()) == ["index.html", "marks.csv"]
    assert written.cohort.counts["marked"] == 37
    again = report.build(forty, tmp_path / "report", worksheet="catheter-sizing", made_at=made_at)
    assert again.page.read_bytes() == written.page.read_bytes()


def test_who_is_not_marked_never_shows_a_zero(page, unmarked):
    text = page([unmarked("l1", "unreadable", "truncated")], names={"l1": "One", "l2": "Two"})
    for table in re.findall(r'<table class="grid.*?</table>', text, flags=re.S):
        for line in re.findall(r"<tr>\s*<th scope=\"row\">.*?</tr>", table, flags=re.S):
            words = Page(line).text
            assert not re.search(r"\b0\b", words.replace("l1", "").replace("l2", ""))
            assert "unreadable" in words or "missing" in words


def test_critical_item_wrong_stands_out_in_words(page, row, sheet, all_right):
    wrong = row("cannot-size-first", 0.0, "slip", slip="zoom-in", message="A slip.")
    words = Page(page([sheet("l1", all_right(cannot_size_first=wrong))])).text
    assert "Critical item wrong" in words
    assert "to work on critical item wrong" in words
    assert "≠! slip , critical" in words


def test_invented_data_says_so(page, forty):
    invented = "the learners, their answers and their marks in this report are made up"
    assert invented not in Page(page(forty)).text
    words = Page(page(forty, invented=True)).text
    assert invented in words
    assert words.count("nvented") >= 3


def test_report_says_that_the_standard_is_invented_and_how_sure_learners_were(page, row, sheet):
    rows = [row("sizing-french", 0.0 if n else 2.0, confidence=0.95) for n in range(12)]
    words = Page(page([sheet(f"l{n}", [one]) for n, one in enumerate(rows)])).text
    # The judges' sheet: (60 + 70 + 70 + 70) / 4 = 67.5 % of 2 points are 1.35.
    assert "gives 1.35 of 2 points (68 %) to the course's pass mark" in words
    assert "Invented for teaching: no such panel met" in words
    assert "8 % (1 to 35)" in words  # Wilson of 1 in 12
    assert "Surer than right." in words


def test_report_says_what_the_course_decides_and_that_a_worksheet_does_not(page, sheet, all_right):
    near = Decision(passing.TOO_NEAR, "189 of 275 points", 189, 275, 188.65, 11.3)
    results = [sheet(who, all_right()) for who in ("l1", "l2")]
    words = Page(page(results, decisions={"l1": near})).text
    assert passing.rule() in words
    assert "l1 Too near to decide: a parallel form 189 of 275 points" in words
    assert "too few to decide by" in words
    assert "What the course decides, by all its worksheets" not in Page(page(results)).text


def test_few_learners_are_warned_about(page, forty):
    assert "Few learners: 1 marked" in Page(page(forty[3:4])).text
    assert "Few learners" not in Page(page(forty)).text


def test_numbers_stand_with_their_intervals(page, row, sheet):
    # 9 right of 10: Wilson 0.5958 to 0.9821 (Newcombe's table of intervals).
    results = [sheet(f"l{n}", [row("sizing-french", 2.0 if n else 0.0)]) for n in range(10)]
    assert "90 % (60 to 98)" in Page(page(results)).text


def test_formulas_are_named(page):
    words = Page(page([])).text
    for name in ("Wilson", "1927", "Fisher", "1921", "item-rest"):
        assert name in words


def test_every_cell_differs_by_symbol_word_and_letter(row):
    cells = [cell for cell, _ in picture.LEGEND]
    for part in range(4):
        assert len({cell[part] for cell in cells}) == len(cells)
    assert picture.cell(row("a")).word == "right"
    assert picture.cell(row("a", 0.0, "slip")).word == "slip"
    assert picture.cell(row("a", 0.0)).word == "wrong"
    assert picture.cell(row("a", 0.0, "blank")).word == "blank"
    assert picture.cell(row("a", 0.0, "refused")).word == "refused"
    assert picture.cell(row("a", None)).word == "waiting"
    assert picture.cell(row("a", 1.0, "waiting", manual=True)).word == "part"
    assert picture.cell(row("a", 2.0, "slip", manual=True)).word == "right"
    assert picture.cell(row("a", 0.0, "right", manual=True)).word == "wrong"
    assert picture.cell(None).word == "not asked"


def test_dots_stand_where_the_numbers_say(page, row, sheet):
    results = [sheet(f"l{n}", [row("sizing-french", 2.0 * (n < 5))]) for n in range(10)]
    # A share of one half stands in the middle of the axis, 4 + 112 / 2 = 60 of 120 units.
    assert '<circle cx="60.0"' in page(results)


def test_figures_in_words():
    assert report.correlation(Figure(-0.004, -0.5, 0.25)) == "0.00 (−0.50 to 0.25)"
    assert report.share(Figure(words="too few")) == "too few"
