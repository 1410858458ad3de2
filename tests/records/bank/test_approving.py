"""The pack for a department has each claim of a page, its source, and room to accept or change."""

import re
from datetime import date

import pytest

from cubital import cli, tables
from cubital.educator.approve import claims_to_approve
from cubital.records.bank.lesson_claims import claims
from cubital.tables.approving import PageReview, page_edition, page_reviews

PAGE = "84-blood-sampling"


@pytest.fixture
def run(capsys):
    def told(*words):
        code = cli.main(["bank", "--review", *map(str, words)])
        seen = capsys.readouterr()
        return code, seen.out + seen.err

    return told


def words_of(page):
    return [claim.words for claim in claims(page)]


def test_a_claim_with_a_number_stands_beside_the_source_that_it_cites():
    (claim,) = (one for one in claims(PAGE) if one.words.startswith("Of 353 blood draws"))
    assert not claim.is_safety
    (source,) = claim.sources
    row = tables.bibliography()["saleem-2009"]
    assert row.text in source
    assert "abstract" in source


def test_what_is_safe_is_there_whether_it_states_a_number_or_not():
    safe = [one.words for one in claims(PAGE) if one.is_safety]
    for words in (
        "If the wristband is missing, or one letter differs, stop and have it put right first.",
        "Label at the bedside, before you leave it, and hold each label against the wristband.",
        "First the arm: no fistula, no restriction, and never above a running infusion.",
        "Fill to the mark, turn gently as often as it says, and never pour from tube to tube.",
        "The box stands within arm's reach before you begin.",
    ):
        assert words in safe, words
    assert (
        "Never look into the source, and never show a child the light by pointing it at the "
        in ("\n".join(one.words for one in claims("70-readiness") if one.is_safety))
    )


def test_no_source_is_given_to_a_sentence_that_names_none():
    (claim,) = (one for one in claims(PAGE) if one.words.startswith("Press, with the arm straight"))
    assert claim.sources == ()


@pytest.mark.parametrize("page", ["84-blood-sampling", "86-children", "60-complications"])
def test_every_cited_source_and_every_number_of_the_reading_comes_into_the_pack(page):
    path = tables.course_folder("modules") / f"{page}.ipynb"
    text = path.read_text(encoding="utf-8")
    cited = {
        key
        for group in re.findall(r"\[([a-z0-9][a-z0-9, -]*)\](?!\()", text)
        for key in group.split(", ")
    } & {*tables.bibliography()}
    found = {source.partition(":")[0] for one in claims(page) for source in one.sources}
    assert found == cited
    joined = "\n".join(words_of(page))
    readings = re.findall(r"\*\*The numbers? to look for:\*\*([^\"]*?)(?:\\n|\")", text)
    for reading in readings:
        for number in re.findall(
            r"\d[\d,.]*\d|\d", re.sub(r"\[[^\]]*\]|\([^)]*ipynb\)", "", reading)
        ):
            assert number in joined, (page, number)


def test_no_question_and_no_markup_is_a_claim():
    for page in ("84-blood-sampling", "20-focal-geometry", "86-children"):
        for words in words_of(page):
            assert "*" not in words
            assert "](" not in words
            assert not words.endswith("?")
        assert len({*words_of(page)}) == len(words_of(page))


def test_the_pack_has_room_for_each_claim_and_the_row_to_write(run):
    code, text = run("--lesson", PAGE)
    assert code == 0
    assert text.count("[ ] accept") == len(claims(PAGE))
    assert "No clinician has reviewed this yet." in text
    assert f"{PAGE},NAME,ROLE," in text
    assert page_edition(PAGE) in text
    assert "no source named" in text


def test_the_row_of_the_pack_makes_a_review_that_stands(run, tmp_path):
    _, text = run("--lesson", PAGE)
    (row,) = (line.strip() for line in text.splitlines() if f"{PAGE},NAME" in line)
    head = ",".join(PageReview._fields)
    signed = row.replace("NAME", "Ada Alder").replace("ROLE", "nurse")
    (tmp_path / "page-reviews.csv").write_text(f"{head}\n{signed}\n", encoding="utf-8")
    (review,) = page_reviews(tmp_path).values()
    assert review.stands(date.today())
    found = claims_to_approve(PAGE, tmp_path)
    assert "Reviewed by Ada Alder, nurse, on" in found.in_words()


def test_with_a_course_folder_its_figures_are_in_the_pack_and_who_approved_them(run, tmp_path):
    from cubital.marking.cohort.course import create  # noqa: PLC0415 - loads long

    workspace = create(tmp_path / "spring").workspace
    profile = workspace / tables.PROFILE_FILE
    profile.write_text('[place]\ndepartment = "Ward 9"\n', encoding="utf-8")
    code, text = run("--lesson", PAGE, "--workspace", workspace)
    assert code == 0
    assert "The figures of Ward 9, Alder Hill Hospital" in text
    assert "Nobody has approved these figures yet." in text
    assert "ratio_limit: 0.45" in text
    approval = '[approval]\napproved_by = "B. Birch"\napproved_on = "2026-12-01"\n'
    profile.write_text(approval, encoding="utf-8")
    assert (
        "Approved by B. Birch on 1 December 2026."
        in run("--lesson", PAGE, "--workspace", workspace)[1]
    )


def test_the_page_of_the_pack_stands_alone_and_says_the_same(run, tmp_path):
    path = tmp_path / "pack.html"
    assert run("--lesson", "all", "--to", path)[0] == 0
    html = path.read_text(encoding="utf-8")
    assert not re.search(r"<(?:link|script)|(?:src|href)=|url\(", html)
    every = sorted(one.stem for one in tables.course_folder("modules").glob("*.ipynb"))
    assert all(f'<span class="id">{page}</span>' in html for page in every)
    assert html.count("☐ accept") == sum(len(claims(page)) for page in every)


def test_a_page_that_is_not_there_is_named_with_those_there_are(run, capsys):
    code, text = run("--lesson", "85-nothing")
    assert (code, "there is no page “85-nothing”; there are: 00-start-here" in text) == (1, True)
    assert cli.main(["bank", "--lesson", PAGE]) == 1
    assert "--lesson goes with --review" in capsys.readouterr().err
