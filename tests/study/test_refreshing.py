"""A session to refresh: what is due, laid out once a day, with new values each time."""

import re
from datetime import UTC, datetime, timedelta

import nbformat
import pytest

from cubital import items, tables
from cubital.handin.released.release import AT_ONCE, read_release
from cubital.refresh.choosing import items_of
from cubital.refresh.reviews import FILE, add_review, objective_of, read_reviews, review_id
from cubital.study import refreshing

LEARNER = "ada.alder"
NOW = datetime(2027, 3, 1, 9, 0, tzinfo=UTC)
CAUTION = "Local policy, the device's instructions for use and licensed practice decide"


def lay_out(tmp_path, **options):
    return refreshing.lay_out_refresh(tmp_path, LEARNER, **{"now": NOW} | options)


def answer(opened, at=NOW, only=None, rating="good"):
    """Review the items of a session, as the fields do."""
    release = read_release(opened.notebook.parent)
    for item in list(release.items)[:only]:
        add_review(
            opened.folder,
            LEARNER,
            review=review_id(release.name, item),
            objective=objective_of(item),
            item=item,
            outcome="right",
            rating=rating,
            at=at,
        )
    return release


def test_a_first_session_asks_what_must_be_right_first_and_then_lesson_after_lesson(tmp_path):
    opened = lay_out(tmp_path)
    assert opened.notebook == tmp_path / LEARNER / "refresh" / "refresh.ipynb"
    release = read_release(opened.notebook.parent)
    assert (release.worksheet, release.feedback) == ("refresh", AT_ONCE)
    assert re.fullmatch(r"refresh-20270301-[0-9a-f]{8}", release.name)
    asked = [items.find(name) for name in release.items]
    assert sum(item.minutes for item in asked[:-1]) < 15 <= sum(item.minutes for item in asked)
    lessons = [tables.curriculum().objective(objective_of(name)).lesson for name in release.items]
    assert len(asked) == 10
    must = [item.critical for item in asked]
    assert must[0]
    assert must == sorted(must, reverse=True)
    first = [name for name, is_critical in zip(lessons, must, strict=True) if is_critical]
    assert len(first) == 5  # objectives with questions that must be right, two of one lesson
    assert first[:4] == sorted(set(first))
    then = lessons[len(first) :]
    assert len(set(then)) == len(then)


def test_the_notebook_has_the_caution_one_heading_and_question_an_item_and_the_way_through(
    tmp_path,
):
    opened = lay_out(tmp_path)
    notebook = nbformat.read(opened.notebook, as_version=4)
    nbformat.validate(notebook)
    asked = [items.find(name) for name in read_release(opened.notebook.parent).items]
    title, setup, *questions, way = notebook.cells
    assert CAUTION in title.source
    assert f"{len(asked)} questions, about {sum(i.minutes for i in asked):.0f} min" in title.source
    assert all(line.startswith("from cubital.") for line in setup.source.splitlines())
    assert [cell.cell_type for cell in questions] == ["markdown", "code"] * len(asked)
    for number, item in enumerate(asked):
        assert questions[2 * number].source.startswith(f"## {number + 1}. {item.title}\n")
        assert questions[2 * number + 1].source == f'ask("{item.id}")'
    assert way.source == "session()"
    assert not any(cell.get("outputs") for cell in notebook.cells)


def test_headings_give_no_answer_away_and_their_links_lead_to_lessons_laid_out(tmp_path):
    opened = lay_out(tmp_path)
    notebook = nbformat.read(opened.notebook, as_version=4)
    there = {path.stem for path in opened.others}
    links = [re.findall(r"\.\./lessons/([\w-]+)\.ipynb", cell.source) for cell in notebook.cells]
    assert {name for found in links for name in found} == there
    assert all(path.is_file() for path in opened.others)
    headings = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    for name in read_release(opened.notebook.parent).items:
        assert tables.curriculum().objective(objective_of(name)).title not in headings


def test_todays_session_is_opened_again_while_something_is_not_answered(tmp_path):
    opened = lay_out(tmp_path)
    release = answer(opened, only=7)
    opened.notebook.write_text(opened.notebook.read_text() + "\n")
    before = opened.notebook.read_bytes()
    again = lay_out(tmp_path, now=NOW + timedelta(hours=3), minutes=5)
    assert read_release(again.notebook.parent) == release
    assert again.notebook.read_bytes() == before


def test_a_finished_session_gives_way_to_what_is_not_begun_and_is_kept(tmp_path):
    first = answer(lay_out(tmp_path))
    second = read_release(lay_out(tmp_path, now=NOW + timedelta(hours=1)).notebook.parent)
    assert second.name != first.name
    assert not set(second.items) & set(first.items)
    (kept,) = (tmp_path / LEARNER / "kept").iterdir()
    assert read_release(kept) == first


def test_yesterdays_session_gives_way_even_unfinished_and_its_reviews_stay(tmp_path):
    first = answer(lay_out(tmp_path), only=3)
    second = read_release(lay_out(tmp_path, now=NOW + timedelta(days=1)).notebook.parent)
    assert second.name != first.name
    assert len(read_reviews(tmp_path / LEARNER, LEARNER).reviews) == 3


def test_the_same_item_asks_with_new_values_each_session(tmp_path):
    item = items.find("sizing-ratio")
    drawn = []
    for day in range(6):
        release = read_release(lay_out(tmp_path, now=NOW + timedelta(days=day)).notebook.parent)
        drawn.append(release.values(item, LEARNER))
    assert len({tuple(sorted(values.items())) for values in drawn}) >= 5


def test_what_went_wrong_is_asked_the_next_day_by_another_item(tmp_path):
    everything = refreshing.learners_standings(tmp_path, LEARNER, NOW)
    session = answer(lay_out(tmp_path, minutes=600), rating="again")
    assert {objective_of(name) for name in session.items} == {
        one.objective.key for one in everything
    }
    assert lay_out(tmp_path, now=NOW + timedelta(hours=4)) is None
    second = read_release(lay_out(tmp_path, now=NOW + timedelta(days=1)).notebook.parent)
    for name in second.items:
        others = items_of(tables.curriculum().objective(objective_of(name)))
        if items.find(name).critical:
            others = [item for item in others if item.critical]
        assert (name in session.items) == (len(others) == 1)


def test_questions_on_pictures_come_too_each_with_a_picture_of_the_session(tmp_path):
    release = read_release(lay_out(tmp_path, minutes=600).notebook.parent)
    pictured = [item for item in release.listed() if item.kind in ("place", "series")]
    assert pictured
    assert set(release.pictures) == {item.id for item in pictured}
    for item in pictured:
        (name,) = release.pictures[item.id]
        assert release.values(item, LEARNER)["picture"] == name


def test_nothing_is_laid_out_when_nothing_is_due(tmp_path):
    opened = lay_out(tmp_path, minutes=600)
    answer(opened)
    assert lay_out(tmp_path, now=NOW + timedelta(hours=1)) is None
    later = lay_out(tmp_path, now=NOW + timedelta(days=2))
    assert len(read_release(later.notebook.parent).items) == 8


def test_a_session_half_laid_out_is_laid_out_afresh(tmp_path):
    opened = lay_out(tmp_path)
    (opened.notebook.parent / "release.json").unlink()
    again = lay_out(tmp_path)
    assert read_release(again.notebook.parent).items


def test_a_broken_log_stops_it_before_anything_is_laid_out(tmp_path):
    log = tmp_path / LEARNER / FILE
    log.parent.mkdir()
    log.write_text('{"format"', encoding="utf-8")
    with pytest.raises(ValueError, match="move it away to start afresh"):
        lay_out(tmp_path)
    assert log.read_text(encoding="utf-8") == '{"format"'
    assert not (tmp_path / LEARNER / "refresh").exists()


@pytest.mark.parametrize("minutes", [0, -5, float("nan")])
def test_a_session_takes_some_time(tmp_path, minutes):
    with pytest.raises(ValueError, match="more than 0 minutes"):
        lay_out(tmp_path, minutes=minutes)
