"""The papers of a release: one a learner, with nothing of the key; what decides stays sealed."""

import json
from collections import Counter
from dataclasses import replace
from statistics import mean

import pytest

from cubital import items
from cubital.handin.answers import AnswerStore, OtherLearnerError
from cubital.handin.marks import mark
from cubital.handin.released import sealed as sealing
from cubital.handin.released.papers import FILE, read_papers, salted_id, seated, write_papers
from cubital.handin.released.release import new_release
from cubital.handin.released.sealed import (
    Sealed,
    folder_of,
    made,
    read_sealed,
    seed_of,
    write_sealed,
)
from cubital.items import form_of

from ...recording import Told

COHORT = [f"learner-{number:02d}" for number in range(40)]
SEED = seed_of("a secret", "autumn", 1)
PICTURES = {"picture": ("aaaa", "bbbb", "cccc")}
SHEETS = list(items.WORKSHEETS)


def release_of(worksheet):
    pictured = {i.id: ("aaaa", "bbbb") for i in items.WORKSHEETS[worksheet] if i.needs == "truth"}
    return new_release("autumn", worksheet, pictures=pictured)


def papers_of(worksheet, learners=COHORT[:6], secret="a secret"):
    release = release_of(worksheet)
    seating = seated(seed_of(secret, release.name, release.attempt), learners)
    return made(release, items.WORKSHEETS[worksheet], secret=secret, seating=seating)


@pytest.fixture(scope="module")
def sizing():
    return papers_of("catheter-sizing")


def texts(data):
    """All words of a piece of JSON, keys too."""
    if isinstance(data, dict):
        return [*data, *(text for value in data.values() for text in texts(value))]
    if isinstance(data, list | tuple):
        return [text for value in data for text in texts(value)]
    return [data] if isinstance(data, str) else []


def test_nobody_on_the_roster_shares_a_paper_whatever_its_order():
    seating = seated(SEED, COHORT)
    numbers = [seating.seats[salted_id(seating.salt, learner)] for learner in COHORT]
    assert len(set(numbers)) == len(COHORT)
    assert not {*numbers} & {*seating.spare}
    assert seated(SEED, COHORT[::-1]) == seating


def test_who_is_not_on_the_roster_gets_a_spare_paper_and_always_the_same(sizing):
    papers = sizing.papers
    others = {f"agency-{number}": papers.paper_of(f"agency-{number}") for number in range(200)}
    assert set(others.values()) == set(papers.spare)  # 200 names over 16 papers: all are used
    assert all(papers.paper_of(name) == paper for name, paper in others.items())


def test_an_id_stands_nowhere_in_the_papers(sizing, tmp_path):
    write_papers(tmp_path, sizing.papers)
    text = (tmp_path / FILE).read_text("utf-8")
    assert not [learner for learner in COHORT if learner in text]


def test_papers_and_keys_are_read_back_as_they_were_made(sizing, tmp_path):
    write_sealed(folder_of(tmp_path, "catheter-sizing", "autumn"), sizing)
    assert read_sealed(tmp_path, "catheter-sizing", "autumn") == Sealed(
        sizing.papers, json.loads(json.dumps(sizing.rows))
    )
    folder = folder_of(tmp_path, "catheter-sizing", "autumn")
    assert read_papers(folder) == sizing.papers
    modes = {path.name: path.stat().st_mode & 0o777 for path in [folder, *folder.iterdir()]}
    assert modes == {"autumn": 0o700, "papers.json": 0o600, "keys.json": 0o600}


@pytest.mark.parametrize("worksheet", SHEETS)
def test_a_paper_holds_no_misconception_no_slips_name_no_scheme_and_no_seed(worksheet):
    sealed = papers_of(worksheet)
    said = texts(sealed.papers.forms)
    text = "\n".join(said)
    for paper, rows in sealed.rows.items():
        assert sealed.papers.listed(paper) == tuple(rows)
        for item_id, row in rows.items():
            item = items.find(item_id)
            for mistake in item.mistakes(row["values"]):
                assert mistake.misconception not in text
                # a slip's name stands in no paper as a key or value of its own
                assert mistake.key not in said or mistake.key in texts(row["values"])
            for line in getattr(item, "mark_scheme", ()):
                assert line not in text
            own = form_of(sealed.papers.forms[paper][item_id]).keys()
            assert all(key == f"k{place}" for place, key in enumerate(own, 1))
    assert "a secret" not in text
    assert seed_of("a secret", "autumn", 1) not in text


def counted(sealed, item_id):
    """How often somebody is right who takes the option that most papers offer, a tie by chance."""
    cases = {paper: rows[item_id]["values"].get("vignette") for paper, rows in sealed.rows.items()}
    offered = {
        paper: [(cases[paper], key) for key in rows[item_id]["names"].values()]
        for paper, rows in sealed.rows.items()
    }
    often = Counter(key for keys in offered.values() for key in keys)
    item, shares = items.find(item_id), []
    for paper, keys in offered.items():
        most = [key for key in keys if often[key] == max(often[one] for one in keys)]
        right = (cases[paper], item.solution(sealed.rows[paper][item_id]["values"]))
        shares.append((right in most) / len(most))
    return mean(shares)


@pytest.mark.parametrize("worksheet", SHEETS)
def test_counting_options_over_all_papers_is_no_better_than_chance(worksheet):
    """A right option that stood in every paper would show among wrong ones that come and go."""
    sealed = papers_of(worksheet)
    choices = [item.id for item in items.WORKSHEETS[worksheet] if item.kind == "choice"]
    found = {item_id: counted(sealed, item_id) for item_id in choices}
    assert choices
    assert max(found.values()) < 0.4, found  # 1 in 4 by chance


@pytest.mark.parametrize("worksheet", SHEETS)
def test_every_question_of_every_paper_is_marked_by_its_sealed_key(worksheet):
    sealed = papers_of(worksheet, COHORT[:2])
    for paper in sealed.rows:
        for item_id in sealed.papers.listed(paper):
            item, question = items.find(item_id), sealed.question(paper, item_id)
            if item.needs not in {"", "person"}:
                continue
            form = sealed.papers.form(paper, item_id)
            answer = form.read(question.as_entered(item.solution(question.values)))
            judgement = question.key.judge(question.form, question.answer(answer))
            assert judgement.outcome in {"right", "waiting"}
            for slip, typed in item.slip_answers(question.values).items():
                given = question.answer(form.read(question.as_entered(typed)))
                assert question.key.judge(question.form, given).slip == slip


def test_what_is_asked_follows_from_the_secret_and_from_nothing_that_learners_have(sizing):
    release = release_of("catheter-sizing")
    item = items.find("sizing-ratio")
    asked = {paper: rows[item.id]["values"] for paper, rows in sizing.rows.items()}
    other = papers_of("catheter-sizing", secret="another secret")
    assert asked != {paper: rows[item.id]["values"] for paper, rows in other.rows.items()}
    known = [*COHORT, *(f"paper-{number}" for number in asked), *asked]
    guessed = {name: release.values(item, name) for name in known}
    hits = sum(guessed[f"paper-{paper}"] == values for paper, values in asked.items())
    assert hits <= 2  # by chance: the item has some hundred sets of values


def test_another_attempt_asks_other_values():
    release = replace(release_of("catheter-sizing"), attempt=2)
    seating = seated(seed_of("a secret", "autumn", 2), COHORT[:6])
    again = made(release, release.listed(), secret="a secret", seating=seating)
    first = papers_of("catheter-sizing")
    assert again.papers.attempt == 2
    assert again.papers.forms != first.papers.forms


def test_a_paper_may_hold_any_list_of_items():
    chosen = [items.find("sizing-ratio"), items.find("light-deepest")]
    release = new_release("mixed", "catheter-sizing", listed=chosen)
    sealed = made(release, chosen, secret="a secret", seating=seated(SEED, COHORT[:1]))
    paper = sealed.papers.paper_of(COHORT[0])
    assert sealed.papers.listed(paper) == ("sizing-ratio", "light-deepest")


def answered(sealed, folder, learner, item_id="sizing-picture-width"):
    release = release_of("catheter-sizing")
    store = AnswerStore(folder, release, learner, sealed.papers)
    question = sealed.question(store.paper, item_id)
    store.save(item_id, question.as_entered(items.find(item_id).solution(question.values)))
    return store.read()


def test_an_answer_is_marked_by_the_paper_of_the_learner_and_a_copied_one_refused(sizing, tmp_path):
    ann, bo = COHORT[:2]
    answers = answered(sizing, tmp_path, ann)
    question, entry = sizing.asked("sizing-picture-width", ann, answers)
    assert mark(question, entry).outcome == "right"
    copied = replace(answers, learner=bo)
    question, entry = sizing.asked("sizing-picture-width", bo, copied)
    result = mark(question, entry)
    assert (result.outcome, result.points) == ("refused", 0)
    assert "may come from another paper" in result.message
    # written under the other's own number: then it is an answer to other options, or to none
    forged = replace(copied, paper=sizing.papers.paper_of(bo))
    question, entry = sizing.asked("sizing-picture-width", bo, forged)
    assert mark(question, entry).outcome in {"right", "slip"}


def test_answers_to_another_paper_block_the_worksheet(sizing, tmp_path):
    answered(sizing, tmp_path, COHORT[0])
    path = tmp_path / "answers.json"
    data = json.loads(path.read_text("utf-8"))
    path.write_text(json.dumps(data | {"paper": "99"}), encoding="utf-8")
    store = AnswerStore(tmp_path, release_of("catheter-sizing"), COHORT[0], sizing.papers)
    with pytest.raises(OtherLearnerError, match="holds answers to paper 99, and yours is paper"):
        store.read()


def test_what_was_released_is_marked_as_it_was_whatever_the_course_says_later(
    sizing, tmp_path, monkeypatch, recorder
):
    answers = answered(sizing, tmp_path, COHORT[0], "sizing-french")
    write_sealed(folder_of(tmp_path, "catheter-sizing", "autumn"), sizing)
    before = mark(*sizing.asked("sizing-french", COHORT[0], answers))
    listed = items.WORKSHEETS["catheter-sizing"]
    changed = [
        replace(item, version=item.version + 1, answer=lambda _v: 1e6, section="Elsewhere")
        if item.id == "sizing-french"
        else item
        for item in listed
    ]
    monkeypatch.setitem(items.WORKSHEETS, "catheter-sizing", tuple(changed))
    again = read_sealed(tmp_path, "catheter-sizing", "autumn")
    after = mark(*again.asked("sizing-french", COHORT[0], answers))
    recorder.saw(
        "the course changes a question's answer and version after the release",
        Told("right", 2),
        Told(after.outcome, after.points, after.message),
        most=2,
        honest=True,
    )
    assert after == before
    monkeypatch.setitem(items.WORKSHEETS, "catheter-sizing", tuple(changed[3:]))  # and gone
    assert mark(*again.asked("sizing-french", COHORT[0], answers)) == before
    assert before.outcome == "right"


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("papers.json", None, "the papers are missing"),
        ("papers.json", "{", "papers.json cannot be used: papers.json is not whole"),
        ("papers.json", '{"format": "x"}', "its format is 'x'.*or ask for a release that this edi"),
        ("keys.json", None, "keys.json is missing: restore it"),
        ("keys.json", "[]", "keys.json cannot be used"),
        ("keys.json", '{"format": "x"}', "its format is 'x'.*or release again under another name"),
    ],
)
def test_what_is_broken_or_missing_is_named(sizing, tmp_path, name, text, words):
    folder = folder_of(tmp_path, "catheter-sizing", "autumn")
    write_sealed(folder, sizing)
    if text is None:
        (folder / name).unlink()
    else:
        (folder / name).write_text(text, encoding="utf-8")
    sealing._read.cache_clear()
    with pytest.raises(ValueError, match=words):
        read_sealed(tmp_path, "catheter-sizing", "autumn")


@pytest.mark.parametrize("name", ["../../submitted/ann", "a/b", "..", "", "Autumn", "/tmp/keys"])
def test_a_releases_name_that_leads_elsewhere_is_refused(tmp_path, name):
    with pytest.raises(ValueError, match="cannot be"):
        read_sealed(tmp_path, "catheter-sizing", name)


def test_a_paper_that_somebody_has_cannot_be_missing(sizing, tmp_path):
    write_papers(tmp_path, replace(sizing.papers, forms=dict([*sizing.papers.forms.items()][1:])))
    with pytest.raises(ValueError, match="a paper that somebody has is missing"):
        read_papers(tmp_path)
