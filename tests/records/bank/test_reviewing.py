"""Keys stay proposed until two clinicians sign; the sheet has all that they sign by."""

import re
from collections.abc import Callable, Mapping

import pytest
from tests.items.principles.made_up import LAMP

from cubital import cli, items, tables
from cubital.items.cases.case import Case, item_of
from cubital.items.kinds.choice import Option
from cubital.items.principles.asked import asked
from cubital.records.bank import signing
from cubital.tables.signing import Signed, checked


def case(key: str, sources: tuple[str, ...] = ()) -> Case:
    """A case whose second way and third reason are right: B and G."""

    def options(letters: str, right: str) -> tuple[Option, ...]:
        return tuple(
            Option(f"{key}-{one}", f"Text {one}.", "" if one == right else f"overlooks {one}")
            for one in letters
        )

    return Case(
        key=key,
        title=f"Title of {key}",
        section="Somewhere",
        story=f"The story of {key}.",
        ways=options("abcd", "b"),
        reasons=options("efgh", "g"),
        because=f"Since {key} says so.",
        sources=sources,
    )


SOURCE = next(iter(tables.bibliography()))
CASES = (case("rain", (SOURCE,)), case("snow"))
Run = Callable[..., tuple[int, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    monkeypatch.setitem(items.WORKSHEETS, "weather", tuple(map(item_of, CASES)))

    def told(*words: object) -> tuple[int, str]:
        code = cli.main(["bank", *map(str, words)])
        seen = capsys.readouterr()
        return code, seen.out + seen.err

    return told


@pytest.fixture
def signed(monkeypatch: pytest.MonkeyPatch) -> None:
    found: Mapping[str, Signed] = {"snow": Signed("snow", "A. Alder", "B. Birch", "2026-05-04")}
    monkeypatch.setattr(signing, "signed_keys", lambda: found)


def test_the_sheet_has_case_claim_key_reason_source_and_room_for_two_signatures(run: Run) -> None:
    code, text = run("--review", "--worksheet", "weather")
    assert code == 0
    first, second = re.split(r"\n(?=\d+\. Title)", text)[1:]
    words = " ".join(first.split())
    assert words.startswith("1. Title of rain (rain): key proposed, not signed The story of rain.")
    assert "A. Text a. Not right: overlooks a. B. Text b. C. Text c." in words
    assert "Claim: Text b. What decides it: Text g. Key: B and G" in words
    assert "Because: Since rain says so." in words
    assert " ".join(tables.bibliography()[SOURCE].text.split()) in words
    assert "Source: common practice, no source" in second
    for sheet in (first, second):
        assert "[ ] accept" in sheet
        assert "[ ] change to: ___" in sheet
        assert len(re.findall(r"Clinician \d: name, role, signature, date: _{20,}", sheet)) == 2


def test_the_page_stands_alone_and_says_the_same(run: Run, tmp_path) -> None:
    path = tmp_path / "sheet.html"
    code, text = run("--review", "snow", "--to", path)
    assert (code, "keep it from learners" in text) == (0, True)
    html = path.read_text(encoding="utf-8")
    assert not re.search(r"<(?:link|script)|(?:src|href)=|url\(", html)
    for words in ("Text a.", "overlooks a", "<strong>B and G</strong>", "common practice"):
        assert words in html
    assert "Title of rain" not in html
    assert html.count('<p class="sign">Clinician') == 2


def test_the_table_says_which_keys_are_proposed_and_who_signed(run: Run, signed: None) -> None:
    _, text = run("--worksheet", "weather")
    (rain,) = (line for line in text.splitlines() if line.startswith("rain"))
    (snow,) = (line for line in text.splitlines() if line.startswith("snow"))
    assert rain.endswith("key proposed, not signed")
    assert snow.endswith("key signed by A. Alder and B. Birch on 2026-05-04")
    assert "Note: key proposed, not signed" in run("rain")[1]
    assert signing.stands([item_of(one) for one in CASES]) == "1 of 2 keys signed"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--worksheet", "nothing"), "there is no worksheet “nothing”; there are: "),
        (("sizing-frensh",), "there is no item “sizing-frensh”"),
        (("sizing-french",), "no question that was asked for has a key for clinicians to sign"),
    ],
)
def test_where_nothing_is_to_be_signed_it_is_said(
    run: Run, words: tuple[str, ...], said: str
) -> None:
    code, text = run("--review", *words)
    assert (code, said in text) == (1, True)


def test_a_key_is_signed_by_two_people_on_a_day() -> None:
    row = Signed("rain", "A. Alder", "B. Birch", "2026-05-04")
    assert checked((row,)) == {"rain": row}
    for changed in ({"signer_2": " a. alder"}, {"signer_1": ""}):
        with pytest.raises(ValueError, match="needs two signers who are not the same"):
            checked((row._replace(**changed),))
    with pytest.raises(ValueError, match="write the day as 2026-05-04"):
        checked((row._replace(signed_on="in May"),))
    with pytest.raises(ValueError, match="“rain” stands there twice"):
        checked((row, row))


def test_vignettes_of_a_principle_are_signed_too_each_once(run: Run, monkeypatch) -> None:
    monkeypatch.setitem(items.WORKSHEETS, "traffic", asked(LAMP))
    code, text = run("--review", "--worksheet", "traffic")
    words = " ".join(text.split())
    assert (code, text.count("[ ] accept")) == (0, 9)  # six with the trigger, three without
    assert "1. Red lamp, where it decides (crossing-1): key proposed, not signed" in words
    assert "Red lamp, where it does not (bridge-3): key proposed, not signed" in words
    assert "A. Wait at crossing-1. B. Cross at crossing-1. Not right: takes red for green." in words
    claim = "Claim: Wait at crossing-1. The principle: At red one waits. Key: A Because: at"
    assert f"{claim} crossing-1 the lamp decides Source: common practice, no source" in words
    _, table = run("--worksheet", "traffic")
    (first,) = (line for line in table.splitlines() if line.startswith("red-lamp-first"))
    assert first.endswith("0 of 6 keys signed")
    assert signing.stands(asked(LAMP)) == "0 of 9 keys signed"


def test_no_two_cases_or_vignettes_share_a_key() -> None:
    stories: dict[str, set[str]] = {}
    for listed in items.WORKSHEETS.values():
        for claim in (claim for item in listed for claim in item.claims()):
            stories.setdefault(claim.key, set()).add(claim.story)
    assert {key for key, told in stories.items() if len(told) > 1} == set()
    assert (
        len(stories) == 28 + 6 + 90
    )  # the cases that are asked, six of them optional, and nine vignettes a principle


def test_every_signed_key_is_that_of_a_case_or_vignette() -> None:
    known = {claim.key for one in items.WORKSHEETS.values() for i in one for claim in i.claims()}
    assert set(signing.signed_keys()) <= known
