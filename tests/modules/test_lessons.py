"""What holds for every lesson: committed clean, readable, short cells, and it runs."""

import ast
import itertools
import json
import re
import statistics

import nbformat
import pytest

from cubital import tables
from cubital.explore.kit.catalogue import every_explorer
from cubital.items import WORKSHEETS
from cubital.tables import course

from . import minutes
from .stated import words_of

PATHS = sorted(tables.course_folder("modules").glob("*.ipynb"))
TAUGHT = {row.name for row in course.lessons()}  # the others are pages about the course
ASKED = {row.name for row in course.with_worksheets()}  # the short ones are for one path each
CAUTION = (
    "For training. Local policy, the device's instructions for use and licensed practice decide."
)
CITED = re.compile(r"\[([a-z0-9][a-z0-9, -]*)\](?!\()")
FOLDED_LINE = 42  # letters of code that stand in a folded cell at 200 % on a 1280 pixel screen

every_page = pytest.mark.parametrize("name", [path.stem for path in PATHS])


lessons_only = pytest.mark.parametrize("name", sorted(TAUGHT))
with_a_worksheet = pytest.mark.parametrize("name", sorted(ASKED))
short_only = pytest.mark.parametrize("name", sorted(TAUGHT - ASKED))


def code_of(lesson):
    return [cell for cell in lesson.cells if cell.cell_type == "code"]


def lines_of(cell):
    return [line for line in cell.source.splitlines() if line.strip()]


@every_page
def test_is_valid_and_committed_clean(lessons, name):
    lesson = lessons[name]
    nbformat.validate(lesson)
    assert lesson.metadata.kernelspec.name == "python3"
    assert set(lesson.metadata) == {"kernelspec", "language_info"}
    assert set(lesson.metadata.language_info) == {"name"}
    for cell in code_of(lesson):
        assert cell.outputs == []
        assert cell.execution_count is None
        assert cell.metadata["jupyter"] == {"source_hidden": True}
        assert set(cell.metadata) <= {"jupyter", "cubital"}


@every_page
def test_cell_ids_mean_something(lessons, name):
    ids = [cell.id for cell in lessons[name].cells]
    assert len(set(ids)) == len(ids)
    for cell_id in ids:
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", cell_id), cell_id
        assert len(cell_id) >= 4, cell_id


@every_page
def test_file_is_written_as_the_notebook_tools_write_it(lessons, name):
    path = next(path for path in PATHS if path.stem == name)
    text = path.read_text(encoding="utf-8")
    assert text == json.dumps(json.loads(text), indent=1, ensure_ascii=False) + "\n"
    assert name in lessons


@every_page
def test_first_cell_asks_the_question_and_gives_the_caution(lessons, name):
    first = lessons[name].cells[0]
    assert first.cell_type == "markdown"
    assert first.source.startswith("# ")
    assert "?" in first.source
    assert CAUTION in first.source


@every_page
def test_text_names_nothing_of_a_workbench_that_is_not_there(lessons, name):
    text = "\n".join(c.source for c in lessons[name].cells if c.cell_type == "markdown")
    for word in ("Run All", "menu above", "Ctrl + S", "greyed"):
        assert word not in text


@every_page
def test_first_code_cell_holds_the_imports_and_no_other_does(lessons, name):
    first, *others = code_of(lessons[name])
    assert all(
        isinstance(node, ast.ImportFrom | ast.Import) for node in ast.parse(first.source).body
    )
    for cell in others:
        nodes = list(ast.walk(ast.parse(cell.source)))
        assert not any(isinstance(n, ast.Import | ast.ImportFrom) for n in nodes), cell.id


@every_page
def test_imported_names_are_all_used(lessons, name):
    first, *others = code_of(lessons[name])
    imported = {a.name for node in ast.parse(first.source).body for a in node.names}
    used = {
        node.id
        for cell in others
        for node in ast.walk(ast.parse(cell.source))
        if isinstance(node, ast.Name)
    }
    assert imported == used


@every_page
def test_code_is_short_and_plain(lessons, name):
    cells = code_of(lessons[name])
    lengths = [len(lines_of(cell)) for cell in cells]
    assert max(lengths) <= 15
    assert statistics.median(lengths) <= 4
    assert sum(lengths) < 80
    for cell in cells:
        assert not re.search(r"^\s*[%!]|https?:|<style|pip install", cell.source, re.MULTILINE)
        kinds = (ast.FunctionDef, ast.ClassDef, ast.Lambda, ast.AsyncFunctionDef)
        assert not any(isinstance(n, kinds) for n in ast.walk(ast.parse(cell.source))), cell.id
        assert len(lines_of(cell)[0]) <= FOLDED_LINE, cell.id


@every_page
def test_markdown_needs_no_markup_and_no_picture_without_words(lessons, name):
    for cell in lessons[name].cells:
        if cell.cell_type == "markdown":
            assert not re.search(r"<(script|style|div|span|img)|!\[\]", cell.source), cell.id


@every_page
def test_headings_step_down_one_at_a_time(lessons, name):
    text = "\n".join(c.source for c in lessons[name].cells if c.cell_type == "markdown")
    levels = [len(marks) for marks in re.findall(r"^(#+) ", text, re.MULTILINE)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


@every_page
def test_cited_sources_are_listed_and_known(lessons, name):
    cells = lessons[name].cells
    prose = "\n".join(cell.source for cell in cells if cell.cell_type == "markdown")
    cited = {key for group in CITED.findall(prose) for key in group.split(", ")}
    (listing,) = (cell for cell in cells if cell.source.startswith("sources("))
    listed = [arg.value for arg in ast.parse(listing.source).body[0].value.args]
    assert listed == sorted(listed)
    assert set(listed) == cited
    assert cited <= set(tables.bibliography())


@lessons_only
def test_minutes_of_the_objectives_add_up(lessons, name):
    words = words_of(lessons[name])["objectives"]
    parts = [int(n) for n in re.findall(r"\((\d+) minutes?\)", words)]
    (total,) = re.findall(r"about (\d\d) minutes", words)
    assert 3 <= len(parts) <= 5
    assert sum(parts) == int(total)
    low, high = (15, 25) if name in ASKED else (10, 15)
    assert low <= int(total) <= high


@lessons_only
def test_the_map_gives_a_lesson_the_minutes_that_it_gives_itself(lessons, name):
    (total,) = re.findall(r"about (\d\d) minutes", words_of(lessons[name])["objectives"])
    (row,) = (row for row in course.lessons() if row.name == name)
    assert row.minutes == int(total)


@lessons_only
def test_closing_mirrors_the_opening(lessons, name):
    words = words_of(lessons[name])
    opening = words["objectives"].count("- We will ")
    assert 3 <= opening <= 5
    assert words["what-we-have-done"].count("- We have ") == opening


@with_a_worksheet
def test_asks_for_a_prediction_before_each_explorer_and_reads_it_after(lessons, name):
    cells = lessons[name].cells
    explorers = {explorer.__name__ for explorer in every_explorer()}
    shown = [
        place
        for place, cell in enumerate(cells)
        if cell.cell_type == "code" and cell.source.partition("(")[0] in explorers
    ]
    assert len(shown) >= 3
    for place in shown:
        assert "**Predict:**" in cells[place - 1].source, cells[place].id
        assert re.search(r"\*\*The (numbers?|words?) to look for", cells[place + 1].source)


@every_page
def test_what_folds_begins_with_a_heading_that_says_for_whom_and_of_what(lessons, name):
    before = False
    for cell in lessons[name].cells:
        folds = cell.metadata.get("cubital", {}).get("numbers", False)
        assert folds in {True, False}
        if folds and not before:
            assert re.match(r"### For those who want the numbers: \w+", cell.source), cell.id
        else:
            assert "For those who want the numbers" not in cell.source, cell.id
        before = folds


@every_page
def test_every_link_to_a_page_leads_to_one(lessons, name):
    pages = {path.name for path in PATHS}
    pages |= {f"../{worksheet}/{worksheet}.ipynb" for worksheet in WORKSHEETS}
    prose = "\n".join(c.source for c in lessons[name].cells if c.cell_type == "markdown")
    links = set(re.findall(r"\]\(([^)]+\.ipynb)\)", prose))
    assert links or name == "00-start-here", "whose form has them"
    assert links <= pages


@with_a_worksheet
def test_ends_with_its_worksheet_then_the_next_page_then_the_references(lessons, name):
    *_, done, last, end, references, sources = lessons[name].cells
    assert done.id == "what-we-have-done"
    assert last.source.startswith("## Your turn\n")
    worksheet = name.partition("-")[2]
    assert worksheet in WORKSHEETS
    names = [path.stem for path in PATHS if path.stem in ASKED or path.stem not in TAUGHT]
    links = re.findall(r"\]\(([^)]+\.ipynb)\)", last.source)
    assert links[0] == f"../{worksheet}/{worksheet}.ipynb"
    assert links[-1] == f"{names[names.index(name) + 1]}.ipynb"
    assert end.source == f'LessonEnd("{name}")'
    assert references.source.startswith("## References\n")
    assert sources.source.startswith("sources(")


@short_only
def test_a_short_lesson_says_that_nobody_reviewed_it_and_that_no_pass_mark_counts_it(lessons, name):
    question, *_ = lessons[name].cells
    assert "**No clinician has reviewed this yet.**" in question.source
    *_, done, last, end, references, sources = lessons[name].cells
    assert done.id == "what-we-have-done"
    assert last.source.startswith("## From here\n")
    assert "three optional questions ask about it; no pass mark counts them" in last.source
    assert re.findall(r"\]\(([^)]+\.ipynb)\)", last.source) == [
        "../one-patient/one-patient.ipynb",
        "00-start-here.ipynb",
    ]
    assert end.source == f'LessonEnd("{name}")'
    assert references.source.startswith("## References\n")
    assert sources.source.startswith("sources(")


@short_only
def test_a_short_lesson_is_short_and_asks_for_predictions(lessons, name):
    """At most about 1,100 words before a reader asks to be shown what unfolds."""
    cells = [cell for cell in lessons[name].cells if cell.cell_type == "markdown"]
    folded = [cell for cell in cells if "unfolds" in cell.metadata.get("cubital", {})]
    main = "\n".join(cell.source for cell in cells if cell not in folded)
    assert 500 <= minutes.reading(main) * minutes.WORDS_A_MINUTE <= 1100
    assert len(folded) >= 4


@lessons_only
def test_shows_each_explorer_as_it_starts_it_and_each_table_with_its_caption(ran, lessons, name):
    names = {explorer.__name__ for explorer in every_explorer()}
    imports, *_ = code_of(lessons[name])
    scope = {}
    exec(imports.source, scope)
    for cell in code_of(ran(name))[1:]:
        for data in (output.data for output in cell.outputs):
            called = cell.source.partition("(")[0]
            if called in names:
                assert "application/vnd.jupyter.widget-view+json" in data
                assert data["text/plain"] == eval(cell.source, scope).picture["alt"]
                assert '<img alt="' in data["text/html"]
            elif called.endswith("_table"):
                assert "<caption" in data["text/html"]


@every_page
def test_runs_from_top_to_bottom_and_says_nothing_on_the_side(ran, name):
    for cell in code_of(ran(name)):
        assert [o.output_type for o in cell.outputs if o.output_type != "execute_result"] == []
