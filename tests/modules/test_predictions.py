"""Predict, then see: each prediction has its form, and the reading answers what it asks."""

import re

import pytest

from cubital import tables

NAMES = [path.stem for path in sorted(tables.course_folder("modules").glob("[1-8]*.ipynb"))]
LOOK_FOR = re.compile(r"\*\*The (numbers?|words?) to look for:?\*\*")
PARTS = {
    "choice": {"kind", "options"},
    "number": {"kind", "label", "unit"},
    "place": {"kind", "label", "unit", "low", "high", "step", "ends"},
}
# lesson, cell: what its reading answers, and which of the options that is
ANSWERS = {
    ("10-light-and-depth", "stated-depth"): ("lost below 4.8 mm, not at 7 mm", None),
    ("10-light-and-depth", "where-numbers-come-from"): (
        "each bar with it, is about half",
        "They shrink to about half",
    ),
    ("10-light-and-depth", "width"): ("8.6 mm, almost three times the vein", None),
    ("10-light-and-depth", "depth-from-the-picture"): (
        "at 1.5 mm the thin vein has the same contrast as hers, 10 %",
        "Yes, less deep than hers",
    ),
    ("10-light-and-depth", "vein-or-artery"): (
        "both have a contrast of 10 %: *they look the same*",
        "Neither of the two",
    ),
    ("20-focal-geometry", "working-distance"): ("at 238 mm the vein measures 2.77 mm", None),
    ("20-focal-geometry", "tilt-and-turn"): (
        "at 30 degrees 75 % of the long side is in the window",
        None,
    ),
    ("20-focal-geometry", "registration"): ("2.0 mm beside the vein", None),
    ("20-focal-geometry", "round-limbs"): (
        "On a child's forearm it is 10.0 mm and 1.1 mm",
        "On the child's forearm",
    ),
    ("20-focal-geometry", "room-light"): (
        "0.10 under the procedure lamp, too little to rely on",
        "Faintly, less than is called easy",
    ),
    ("20-focal-geometry", "light-or-dark-lines"): (
        "a light line stands out 4.6 times as much as the eye needs to notice it, a dark line 4.2",
        "About the same, it is nearly lost too",
    ),
    ("20-focal-geometry", "larger-picture"): ("25 %, or 506 lx", None),
    ("20-focal-geometry", "holding"): (
        "sharp 99 % of the time, but the line is on the vein only 74 % of the time",
        "Registration",
    ),
    ("20-focal-geometry", "all-together"): ("Only the stand is steady enough", "The stand alone"),
    ("20-focal-geometry", "check-before-use"): (
        "*fail* at 15 mm, with the farthest mark 1.8 mm off and all marks shifted the same way",
        "It fails, all marks being off alike",
    ),
    ("30-reading-the-vein", "why-bands-fade"): (
        "Room light and hair are the two",
        "Room light and hair",
    ),
    ("30-reading-the-vein", "valves"): (
        "At 1.5 mm it is 2.1, so the valve is no longer seen",
        "The valve, within the first 2 mm",
    ),
    ("30-reading-the-vein", "bifurcations-and-refill"): (
        "to the *last* valve of the stroke, the upper one. The part above it has filled back",
        "Yes, down to the upper valve",
    ),
    ("30-reading-the-vein", "which-band"): (
        "its end stays 10.1 mm short of the valve. Of the 48 mm one it would be 40.9 mm, 5.9 mm "
        "too long",
        "The 32 mm one alone stays short",
    ),
    ("30-reading-the-vein", "what-processing-does"): ("among 59 that are *not there*", None),
    ("40-catheter-sizing", "gauge-french-millimetres"): (
        "The larger the gauge number, the thinner the catheter",
        "The 24 gauge catheter",
    ),
    ("40-catheter-sizing", "catheter-to-vein-ratio"): (
        "at 2.5 mm it is 46.0 %, over the limit",
        "No, though only just",
    ),
    ("40-catheter-sizing", "measure-the-vein"): ("*cannot be sized*", "That cannot be told"),
    ("40-catheter-sizing", "smallest-adequate"): (
        "24 gauge gives a nominal 21 mL/min, six times what is needed",
        "24 gauge",
    ),
    ("40-catheter-sizing", "flow"): ("not sixteen times but 4.8 times", None),
    ("40-catheter-sizing", "drip-rate"): ("200 drops/min", None),
    ("50-reaching-the-vein", "two-walls"): (
        "*A steeper needle leaves more catheter in the vein, and less room for the tip.*",
        "More in the vein, and less room",
    ),
    ("50-reaching-the-vein", "share-in-the-vein"): (
        "at 4.5 mm it is 66.7 %, at 5.0 mm 63.0 %: the guide is crossed between the two",
        None,
    ),
    ("50-reaching-the-vein", "hold-the-vein"): (
        "in loose skin the vein moves 1.8 mm, more than half its width, and the needle passes "
        "beside it",
        "Yes, the needle passes beside it",
    ),
    ("50-reaching-the-vein", "blood-in-the-chamber"): (
        "at 15.0 mm, *needle in the vein, catheter not yet*",
        "No, the needle is lowered and goes on first",
    ),
    ("50-reaching-the-vein", "slow-drip"): ("it does not stop, it slows", "No, but it slows"),
    ("60-complications", "from-signs"): ("*Think first of extravasation*", "Extravasation"),
    ("60-complications", "no-picture-rules-out"): (
        "to 0.1 % darker than the skin beside it",
        "It is all but gone",
    ),
    ("60-complications", "leak-in-an-infant"): ("8.0 % of the infant's: ten times", None),
    ("60-complications", "haematoma-series"): ("4.4 mL and a patch 44 mm across", None),
    ("60-complications", "read-the-scales"): ("all four give 2", "All four give the same grade"),
    ("70-readiness", "read-the-questions"): ("*do not use it*", "No, the device is not used so"),
    ("70-readiness", "batteries-and-chargers"): ("5.0 of the 12 h are without a device", None),
    ("70-readiness", "when-the-oldest-goes"): (
        "the chance that the oldest is gone is 48.4 %, about fifty-fifty",
        "About fifty-fifty",
    ),
    ("70-readiness", "eyes-and-light"): ("3.99 times, a quarter", None),
    ("80-one-patient", "assessment"): (
        "None of the other four lines is as it should be",
        "None",
    ),
    ("80-one-patient", "insertion"): (
        "62.6 % at 25 degrees, below the 65 % we want",
        "No, though not far from it",
    ),
    ("80-one-patient", "follow-up"): ("60 mL, a swelling 91 mm across", None),
    ("80-one-patient", "read-back"): ("the last names what was not acceptable", None),
    ("84-blood-sampling", "whose-blood"): (
        "about 1 in 2,000, as the median of the countries",
        "About 1 in 2,000",
    ),
    ("84-blood-sampling", "which-arm"): ("18.7 mmol/L", None),
    ("84-blood-sampling", "tourniquet"): ("5 to 13 %, and calcium rose too", "By 5 to 13 %"),
    ("84-blood-sampling", "what-light-helps"): (
        "*no difference*, neither in success nor in time",
        "No difference was found",
    ),
    ("84-blood-sampling", "fainting"): (
        "*tourniquet off, needle out and safe, press, and lay them flat*",
        "Tourniquet off, needle out and safe, and lay them flat",
    ),
    ("86-children", "small-and-shallow"): (
        "the child's, with a contrast of 17 % against 10 %",
        "The child's, as it is less deep",
    ),
    ("86-children", "pain-relief"): (
        "*wait for as long as they say*",
        "Wait for as long as they say",
    ),
    ("86-children", "holding"): (
        "*no significant difference* in attempts",
        "No significant difference",
    ),
    ("86-children", "hand-on"): ("4.5 % (0.14 × 0.32", None),
}
every_lesson = pytest.mark.parametrize("name", NAMES)
every_choice = [place for place, (_, option) in ANSWERS.items() if option]


def own(cell):
    return cell.metadata.get("cubital", {})


def words(cell):
    return re.sub(r"\s+", " ", cell.source)


def asking(cells):
    """Where each prediction stands among a lesson's cells, and how it is asked for."""
    asked = [(place, own(cell).get("predict")) for place, cell in enumerate(cells)]
    return [(place, asks) for place, asks in asked if asks]


def reading_of(cells, place):
    """Where the reading of a prediction stands, after its figure or table."""
    after = range(place + 1, len(cells))
    return next(at for at in after if cells[at].cell_type == "markdown")


def options(lessons, lesson, cell_id):
    (cell,) = (cell for cell in lessons[lesson].cells if cell.id == cell_id)
    return own(cell)["predict"]["options"]


@every_lesson
def test_every_prediction_of_the_text_is_asked_for_and_no_other(lessons, name):
    cells = lessons[name].cells
    asked = {place for place, _ in asking(cells)}
    written = {place for place, cell in enumerate(cells) if "Predict" in cell.source}
    assert written == asked != set()
    for place in asked:
        assert len(re.findall(r"^\*\*Predict:\*\* .+\?$", cells[place].source, re.M)) == 1
        assert cells[place].source.count("Predict") == 1


@every_lesson
def test_a_form_has_what_its_kind_needs_and_an_end_is_an_end(lessons, name):
    for _, asks in asking(lessons[name].cells):
        assert set(asks) == PARTS[asks["kind"]]
        if asks["kind"] == "choice":
            assert 3 <= len(asks["options"]) == len(set(asks["options"])) <= 4
        if asks["kind"] == "place":
            assert len(asks["ends"]) == 2
            steps = (asks["high"] - asks["low"]) / asks["step"]
            assert steps == pytest.approx(round(steps))
            assert steps >= 10


@every_lesson
def test_the_reading_unfolds_with_what_was_predicted_and_nothing_else_does(lessons, name):
    cells = lessons[name].cells
    belongs = {}
    for place, _ in asking(cells):
        reading = reading_of(cells, place)
        assert LOOK_FOR.match(cells[reading].source)
        assert own(cells[reading])["unfolds"] == cells[place].id
        belongs |= dict.fromkeys(range(place + 1, reading + 1), cells[place].id)
    for at, cell in enumerate(cells):
        assert own(cell).get("unfolds") in {None, belongs.get(at)}, cell.id


@every_lesson
def test_a_reading_answers_what_was_predicted(lessons, name):
    cells = lessons[name].cells
    asked = {cells[place].id: (place, asks) for place, asks in asking(cells)}
    assert {*asked} == {cell for lesson, cell in ANSWERS if lesson == name}
    for cell, (place, asks) in asked.items():
        says, option = ANSWERS[name, cell]
        assert says in words(cells[reading_of(cells, place)])
        assert (asks["kind"] == "choice") == (option is not None)
        assert option is None or option in asks["options"]


@every_lesson
def test_a_figure_that_stays_open_does_not_show_the_answer_as_it_stands(lessons, name):
    cells = lessons[name].cells
    imports, *_ = (cell for cell in cells if cell.cell_type == "code")
    scope = {}
    for cell in cells:
        if cell.id == imports.id or re.match(r"\w+ = ", cell.source):
            exec(cell.source, scope)
    number = re.compile(r"\d[\d,.]*\d")
    for place, _ in asking(cells):
        shown = cells[place + 1]
        if own(shown):
            continue
        says, _option = ANSWERS[name, cells[place].id]
        tells = {*number.findall(says)} - {*number.findall(cells[place].source)}
        stands = eval(shown.source, scope).picture
        seen = f"{stands['alt']} {stands['readings']}"
        assert not tells & {*number.findall(seen)}, (shown.id, tells)


def test_no_right_option_stands_out_by_its_length_or_its_place(lessons):
    longest, first, last = [], [], []
    for place in every_choice:
        offered = options(lessons, *place)
        right = ANSWERS[place][1]
        others = sorted(len(option) for option in offered if option != right)
        assert len(right) <= 1.4 * others[-1], place
        assert len(right) >= 0.5 * others[0] or right in {"None", "24 gauge"}, place
        longest.append(len(right) > others[-1])
        first.append(right == offered[0])
        last.append(right == offered[-1])
    for stands_out in (longest, first, last):
        assert sum(stands_out) <= 0.4 * len(every_choice)
