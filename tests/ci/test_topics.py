"""The page of the job's topics: none is left out, and every cell of it names what there is."""

import importlib
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
# What the job asks for; a topic that tells of it holds these words.
EXPECTED = (
    "Depth of view",
    "Working distance",
    "Tilt and turn",
    "Small detail",
    "Light lines or dark lines",
    "Size of the picture and room light",
    "Valves and forks",
    "Occlusion and refill",
    "rolls",
    "Flush, patency",
    "Haematoma",
    "Infiltration",
    "Which catheter",
    "Batteries",
    "Stored pictures",
    "Hands free",
    "placing limb and patient",
    "Tourniquet: time limit and release",
    "Skin antisepsis and aseptic technique",
    "hub and syringe",
    "Where not to go",
    "The ladder, and attempts of one person and the team",
    "hand on early",
    "Securing",
    "Documentation",
    "Dwell and replacement",
    "Ultrasound",
    "Difficult access",
    "Blood sampling",
    "Children",
)


@pytest.fixture
def script(monkeypatch):
    monkeypatch.syspath_prepend(CHECKOUT / ".ci")
    return importlib.import_module("topics")


def test_every_topic_has_lesson_figure_question_and_practice_that_there_are(script):
    assert script.faults() == []


@pytest.mark.parametrize("words", EXPECTED)
def test_no_topic_of_the_job_is_left_out(script, words):
    assert any(words in topic.words for topic in script.topics())


def test_a_topic_that_names_nothing_there_is_is_found(script, monkeypatch):
    topic = script.topics()[0]
    broken = {
        "has no section": topic._replace(section="Elsewhere"),
        "no figure": topic._replace(figures=()),
        "nothing is shown at": topic._replace(figures=("10-light-and-depth/sources",)),
        "no question": topic._replace(items=("light-none",)),
        "no practice": topic._replace(objective="none"),
    }
    for words, one in broken.items():
        monkeypatch.setattr(script, "topics", lambda one=one: (one,))
        (fault,) = script.faults()
        assert words in fault


def test_the_page_is_what_the_topics_make(script):
    is_current = script.PAGE.read_text(encoding="utf-8") == script.page()
    assert is_current, f"{script.PAGE.name} is stale: run {script.COMMAND}"
