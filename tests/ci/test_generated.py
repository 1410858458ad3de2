"""Generated files are as their command left them: nobody edits them by hand."""

import hashlib
import importlib
import inspect
import re
import tomllib
from pathlib import Path

import pytest

from cubital import calc, items
from cubital.items.principles.course import PRINCIPLES

CHECKOUT = Path(__file__).resolve().parents[2]
ASSETS = CHECKOUT / "assets"


@pytest.fixture
def script(monkeypatch):
    """Import a script of the checkout by its name."""
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")
    return importlib.import_module


@pytest.mark.parametrize("name", ["docs", "fitted"])
def test_every_generated_file_is_listed_with_its_command_and_unchanged(name):
    folder = ASSETS / name
    listed = tomllib.loads((folder / "generated.toml").read_text(encoding="utf-8"))
    files = {path.name for path in folder.iterdir()} - {"generated.toml"}
    assert files == set(listed)
    for file, told in listed.items():
        assert told["command"]
        digest = hashlib.sha256((folder / file).read_bytes()).hexdigest()
        assert digest == told["sha256"], f"{file} differs: run {told['command']}"


def test_the_pages_of_what_readers_found_are_what_their_lists_make(script):
    readings = script("readings")
    assert {page.path.name for page in readings.PAGES} == {
        "readings.md",
        "read-for-language.md",
        "read-for-safety.md",
        "corrections.md",
    }
    for page in readings.PAGES:
        is_current = page.path.read_text(encoding="utf-8") == readings.text_of(page)
        assert is_current, f"{page.path.name} is stale: run {readings.COMMAND}"


def test_a_correction_says_whether_it_is_done_and_names_what_there_is(script):
    readings = script("readings")
    (page,) = (page for page in readings.PAGES if page.name == "corrections")
    asked = {item.id for listed in items.WORKSHEETS.values() for item in listed}
    asked |= {one.key for row in PRINCIPLES.values() for one in row.vignettes}
    rows = [row for part in page.parts() for row in part["row"]]
    for row in rows:
        assert row["now"] in readings.NOW, row
        names = re.findall(r"`([\w/.-]+)`", row["where"])
        names += re.findall(r"vignettes? ([a-z]+(?:-[a-z]+)+)", row["where"])
        for name in names:
            assert name in asked or list(ASSETS.rglob(Path(name).name)), name


def test_what_the_corrections_count_is_what_the_pages_count(script):
    readings, balance = script("readings"), script("balance")
    (page,) = (page for page in readings.PAGES if page.name == "corrections")
    told = "\n".join(row["where"] for part in page.parts() for row in part["row"])
    numbers, asked, of_numbers, of_all, formulas = re.search(
        r"(\d+) of the (\d+) that must be answered, for (\d+) of (\d+) points; "
        r"formulas are ([\d.]+) % of the points",
        told,
    ).groups()
    rows = dict(re.findall(r"^\| (all|number) \| (.+) \|$", balance.page(), flags=re.MULTILINE))
    assert rows["number"].split(" | ")[:2] == [numbers, of_numbers]
    questions, points, of_formulas, *_ = rows["all"].split(" | ")
    assert (questions, points) == (asked, of_all)
    assert f"{100 * int(of_formulas) / int(points):.1f}" == formulas
    words = (ASSETS / "docs" / "words-only.md").read_text(encoding="utf-8")
    stops = re.findall(r"^\| always stop.* \| (\d+) % \| \d+ % \|$", words, flags=re.MULTILINE)
    found = re.findall(
        r"^\| \w+ \| critical \| .* \| (\d+) % \| .* \| (\d+) % \|$", words, flags=re.MULTILINE
    )
    most, model, chance = re.search(
        r"stopping pass at most (\d+) % .* finds (\d+) % of the critical .* finds (\d+) %", told
    ).groups()
    assert max(stops, key=int) == most
    assert max(found, key=lambda row: int(row[0])) == (model, chance)


def test_the_page_of_calculations_is_what_the_code_makes(script):
    api_page = script("api_page")
    is_current = api_page.PAGE.read_text(encoding="utf-8") == api_page.page()
    assert is_current, f"{api_page.PAGE.name} is stale: run {api_page.COMMAND}"


def test_the_page_of_calculations_lists_every_function_with_its_equation_and_source(script):
    entries = re.split(r"^### ", script("api_page").page(), flags=re.MULTILINE)[1:]
    found = {re.match(r"`(\w+)\(", entry)[1]: entry for entry in entries}
    functions = {name for name in calc.__all__ if inspect.isroutine(getattr(calc, name))}
    assert set(found) == functions
    for name, entry in found.items():
        _, summary, equation, *_ = entry.split("\n\n")
        assert summary.endswith("."), name
        assert "`" in equation, name
        assert re.search(r"\nSources: \[[\w-]+\]\(#", entry), name
        assert not re.search(r" \[\]:", entry), name


def test_the_page_of_cases_lists_every_case_that_there_is(script):
    cases = script("marking_cases")
    listed, collected = cases.listed(cases.PAGE.read_text(encoding="utf-8")), cases.collected()
    assert len(collected) > 250
    assert listed - collected == set(), f"cases that are gone: run {cases.COMMAND}"
    assert collected - listed == set(), f"cases that are new: run {cases.COMMAND}"


def test_the_page_of_cases_counts_no_false_pass_and_no_false_fail(script):
    cases = script("marking_cases")
    page = cases.PAGE.read_text(encoding="utf-8")
    counts = dict(re.findall(r"^\| ([a-z ]+) \| (\d+) \|$", page, flags=re.MULTILINE))
    assert counts["cases"] == str(len(cases.listed(page)))
    assert int(counts["of them honest"]) > 20
    assert (counts["false passes"], counts["false fails"]) == ("0", "0")


@pytest.mark.parametrize(
    ("due", "seen", "honest", "false"),
    [
        (2, 2, False, ""),
        (0, 2, False, "pass"),
        (None, 1, False, "pass"),
        (None, None, True, ""),
        (2, 0, False, "fail"),
        (2, None, True, "fail"),
        (2, None, False, ""),
    ],
)
def test_a_mark_is_false_where_it_is_not_what_the_work_is_worth(script, due, seen, honest, false):
    due, seen = {"state": "x", "points": due}, {"state": "x", "points": seen, "message": ""}
    row = script("marking_cases").Row("test", (), "does", due, seen, 2, honest)
    assert (row.false_pass, row.false_fail) == (false == "pass", false == "fail")


def test_a_command_enters_its_own_files_and_leaves_those_of_others(script, tmp_path):
    record = script("generated").record
    for name in ("a.png", "b.png", "page.md"):
        (tmp_path / name).write_text(name)
    record("make pictures", [tmp_path / "b.png", tmp_path / "a.png"], folder=tmp_path)
    record("make page", [tmp_path / "page.md"], folder=tmp_path)
    record("make pictures", [tmp_path / "a.png"], folder=tmp_path)
    listed = tomllib.loads((tmp_path / "generated.toml").read_text())
    assert list(listed) == ["a.png", "page.md"]
    assert listed["page.md"] == {
        "command": "make page",
        "sha256": hashlib.sha256(b"page.md").hexdigest(),
    }


def test_the_page_of_the_balance_is_what_the_questions_make(script):
    balance = script("balance")
    is_current = balance.PAGE.read_text(encoding="utf-8") == balance.page()
    assert is_current, f"{balance.PAGE.name} is stale: run {balance.COMMAND}"


def test_the_points_are_balanced_as_the_page_says(script):
    balance = script("balance")
    assert balance.share("formula") <= balance.MOST_FORMULA
    assert balance.share("decision") >= balance.FEWEST_DECISIONS
    assert balance.share("recognition") >= balance.LEAST_RECOGNITION
