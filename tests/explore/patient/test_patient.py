"""One patient: what each choice leads to, by plain arithmetic and published figures."""

import math
from html.parser import HTMLParser
from xml.etree import ElementTree

import numpy as np
import pytest

from cubital.explore.patient.assessment import PatientAssessment, arm_frame, arm_scene
from cubital.explore.patient.choices import OnePatient
from cubital.explore.patient.follow_up import PatientFollowUp
from cubital.explore.patient.insertion import PatientInsertion
from cubital.explore.patient.read_back import PatientReadBack, read_back_table
from cubital.items.patient.case import GOOD, MEND, STOP
from cubital.items.patient.case_insertion import insertion_steps
from cubital.scene.truth import truth

SVG = "{http://www.w3.org/2000/svg}"
# depth, width and straight length in mm, as the patient's table gives them
VEINS = {"A": (1, 1.6, 24), "B": (3, 2.8, 40), "C": (1.5, 2.9, 60)}
WIDEST_MM = {24: 0.749, 22: 0.949, 20: 1.149, 18: 1.349}  # the standard's bands
SAFE = {
    "asked": "all",
    "arm": "right",
    "felt": "yes",
    "cleaned": "alcohol",
    "measured_by": "ultrasound",
    "vein": "B",
    "catheter": "22-25",
    "insertion_angle_deg": 25,
    "attempt": 1,
    "after_blood": "lower",
    "secured": "held",
    "drug": "sodium chloride 0.9 %",
    "rate_ml_per_h": 60,
    "look_every_min": 30,
    "response": "remove",
}
PHASES = (PatientAssessment, PatientInsertion, PatientFollowUp)


def shown(phase, **change):
    state = {name: value for name, value in (SAFE | change).items() if name in phase.inputs}
    return phase(**state).show()


def numbers(phase, **change):
    return shown(phase, **change).numbers


def step(phase, label, **change):
    (found,) = (r for r in shown(phase, **change).readings if r.label == label)
    return found.value, found.note


@pytest.mark.parametrize("phase", PHASES)
def test_with_every_choice_safe_nothing_is_missing(phase):
    n = numbers(phase)
    assert n.safe
    assert n.verdict == "Go on: nothing is missing"


@pytest.mark.parametrize(
    ("phase", "change"),
    [
        (PatientAssessment, {"arm": "left"}),
        (PatientAssessment, {"felt": "no"}),
        (PatientAssessment, {"vein": "C"}),
        (PatientAssessment, {"asked": "none"}),
        (PatientAssessment, {"cleaned": "chlorhexidine"}),
        (PatientInsertion, {"attempt": 3}),
        (PatientInsertion, {"attempt": 4}),
        (PatientInsertion, {"after_blood": "straight"}),
        (PatientInsertion, {"after_blood": "bed"}),
        (PatientFollowUp, {"response": "slow"}),
        (PatientFollowUp, {"response": "slow", "drug": "vinca alkaloids", "look_every_min": 15}),
        (PatientFollowUp, {"response": "remove", "drug": "noradrenaline"}),
        (PatientFollowUp, {"response": "remove", "drug": "vinca alkaloids"}),
    ],
)
def test_one_critical_choice_outweighs_all_that_went_well(phase, change):
    n = numbers(phase, **change)
    assert n.stops == 1
    assert not n.safe
    assert n.verdict == "Stop: 1 not acceptable, whatever else went well"


@pytest.mark.parametrize("after_blood", ["lower", "slide", "straight", "bed"])
def test_in_an_artery_nothing_is_as_it_should_be_and_blood_means_out_and_press(after_blood):
    n = numbers(PatientInsertion, vein="C", after_blood=after_blood)
    steps = {row.name: row for row in insertion_steps(n)}
    assert not any(row.verdict == GOOD for row in steps.values())
    assert "none failed" not in steps["Length and angle"].leads_to
    assert "rate" not in steps["Size"].leads_to
    blood = steps["When blood shows"]
    assert blood.verdict == STOP
    assert "inject nothing, tourniquet off. Take the needle out and press firmly" in blood.safer
    assert "a wide catheter already in: leave it, call for help" in blood.safer
    assert n.stops == 3


def test_the_size_names_the_rate_of_the_order_and_not_how_fast_it_could_run():
    # the order: 100 mL over 30 min
    _, note = step(PatientInsertion, "Size")
    assert "over 30\xa0min: set that rate" in note
    assert "soonest" not in note


@pytest.mark.parametrize("how", ["picture", "tourniquet", "eye", "none"])
def test_without_ultrasound_and_tourniquet_off_no_catheter_is_sized(how):
    value, note = step(PatientAssessment, "Vein and size", measured_by=how, vein="C")
    assert value == MEND
    assert "C: no catheter can be sized" in note
    assert numbers(PatientAssessment, measured_by=how).gauge is None


def test_the_thin_vein_is_too_thin_for_the_thinnest_that_gives_the_flow():
    n = numbers(PatientAssessment, vein="A")
    # 100 mL in 30 min is 3.3 mL/min; 26 gauge is not in use for adults
    assert n.gauge == 24
    assert n.ratio == pytest.approx(0.749 / 1.6)
    assert n.ratio > 0.45
    assert step(PatientAssessment, "Vein and size", vein="A")[0] == MEND


def test_what_was_not_asked_is_not_known():
    for asked, known in (("all", True), ("some", False)):
        _, note = step(PatientAssessment, "Asked first", asked=asked)
        assert note.startswith("You know") == known
        assert "chlorhexidine" in note


@pytest.mark.parametrize("vein", VEINS)
@pytest.mark.parametrize("catheter", ["24-19", "22-25", "20-48", "18-32"])
@pytest.mark.parametrize("angle", [10, 25, 45])
def test_ratio_and_share_are_those_of_plain_geometry(vein, catheter, angle):
    n = numbers(PatientInsertion, vein=vein, catheter=catheter, insertion_angle_deg=angle)
    depth, wide, straight = VEINS[vein]
    gauge, length = map(int, catheter.split("-"))
    inside = max(0, length - depth / math.sin(math.radians(angle)))
    assert n.ratio == pytest.approx(WIDEST_MM[gauge] / wide)
    assert n.in_vein_mm == pytest.approx(inside)
    assert n.share == pytest.approx(inside / length)
    assert n.room_mm == pytest.approx(wide / math.sin(math.radians(angle)))
    assert n.straight_mm == straight


def test_shares_in_the_vein_are_judged_by_the_published_band():
    # pandurangadu-2018: of 30 to 64 % in the vein 32.4 % failed, from 65 % none
    short = numbers(PatientInsertion, catheter="24-19")
    assert short.share < 0.65
    assert short.failed_share == pytest.approx(0.324)
    assert step(PatientInsertion, "Length and angle", catheter="24-19")[0] == MEND
    assert numbers(PatientInsertion).failed_share == 0
    assert step(PatientInsertion, "Length and angle")[0] == GOOD


def test_a_catheter_longer_than_the_straight_part_is_to_be_mended():
    value, note = step(PatientInsertion, "Length and angle", catheter="20-48")
    assert value == MEND
    assert "40" in note
    assert "a shorter catheter" in note


def test_the_chance_within_two_attempts_follows_the_chain_rule():
    # 70 % is the invented ward's; yan-2016: second over first attempt, 67.61 over 86.02
    second = 0.7 * 0.6761 / 0.8602
    n = numbers(PatientInsertion)
    assert n.chance_here == pytest.approx(0.7)
    assert n.chance_allowed == pytest.approx(0.7 + 0.3 * second)
    assert numbers(PatientInsertion, attempt=2).chance_here == pytest.approx(second)


def test_no_attempt_on_an_artery_has_a_chance_of_a_vein():
    n = numbers(PatientInsertion, vein="C")
    assert (n.chance_here, n.chance_allowed) == (0, 0)


def test_no_choice_takes_the_place_of_the_views_own_state():
    own = {"title", "notice", "controls", "picture", "action", "progress"}
    for phase in PHASES:
        assert own.isdisjoint(phase.inputs)
        assert phase().action == ""


def test_later_attempts_are_each_less_likely_and_together_likelier():
    here = [numbers(PatientInsertion, attempt=k).chance_here for k in (1, 2, 3, 4)]
    assert here == sorted(here, reverse=True)
    chances = numbers(PatientInsertion).chances
    assert chances == sorted(chances)
    assert chances[-1] < 1


def test_the_arm_without_nodes_is_kept_free_by_policy_and_not_by_a_harm_that_was_not_found():
    """ferguson-2016 (abstract): 3,041 measurements, no link with blood draws or injections."""
    value, note = step(PatientAssessment, "Arm", arm="left")
    assert value == STOP
    assert "local policy keeps it free" in note
    assert "ask the patient and who may decide" in note
    assert "swell" not in note


def test_beyond_the_limit_it_says_to_whom_to_hand_on():
    value, note = step(PatientInsertion, "Attempt", attempt=3)
    assert value == STOP
    assert "Local policy allows 2" in note
    for word in ("ultrasound", "midline", "central line", "bone"):
        assert word in note


def test_the_order_runs_in_at_the_nominal_flow_at_the_soonest():
    n = numbers(PatientInsertion, catheter="24-19")
    assert n.order_time_min == pytest.approx(100 / n.flow_ml_per_min)
    assert n.flow_ml_per_min == 21


@pytest.mark.parametrize(("rate", "minutes"), [(20, 5), (60, 30), (120, 120)])
def test_volume_and_swelling_are_those_of_plain_geometry(rate, minutes):
    n = numbers(PatientFollowUp, rate_ml_per_h=rate, look_every_min=minutes)
    volume = rate * minutes / 60
    # half a ball squashed to 0.15 of its width in height; a forearm 80 mm wide and 250 mm long
    across = (1000 * volume * 6 / (math.pi * 0.15)) ** (1 / 3)
    wider = math.sqrt(40**2 + 1000 * volume / (math.pi * across))
    assert n.volume_ml == pytest.approx(volume)
    assert n.diameter_mm == pytest.approx(across)
    assert n.girth_rise_mm == pytest.approx(2 * math.pi * (wider - 40))
    assert n.limb_share == pytest.approx(1000 * volume / (math.pi * 40**2 * 250))


@pytest.mark.parametrize(
    ("drug", "grade", "remove"),
    [
        ("sodium chloride 0.9 %", 2, GOOD),  # an oedema of 25 to 150 mm
        ("many antibiotics", 4, MEND),  # any amount of an irritant or a vesicant
        ("noradrenaline", 4, STOP),  # as the worksheet on complications marks it, critical
        ("vinca alkaloids", 4, STOP),
    ],
)
def test_grade_and_first_action_go_by_what_ran_in(drug, grade, remove):
    assert numbers(PatientFollowUp, drug=drug).grade == grade
    assert step(PatientFollowUp, "When it is swollen", drug=drug)[0] == remove
    left = step(PatientFollowUp, "When it is swollen", drug=drug, response="leave")
    assert left[0] == GOOD
    assert step(PatientFollowUp, "When it is swollen", drug=drug, response="slow")[0] == STOP


@pytest.mark.parametrize(
    ("drug", "words"),
    [
        ("sodium chloride 0.9 %", "Then take it out, unless local policy wants it looked at first"),
        ("many antibiotics", "It stays until the pharmacist says what to do"),
        ("noradrenaline", "Leave the catheter where it is, and do not flush"),
    ],
)
def test_what_leaving_the_catheter_in_leads_to_goes_by_what_ran_in(drug, words):
    value, note = step(PatientFollowUp, "When it is swollen", drug=drug, response="leave")
    assert value == GOOD
    assert words in note
    assert ("Take the catheter out" in note) is False


@pytest.mark.parametrize(("minutes", "verdict"), [(5, GOOD), (15, GOOD), (20, MEND), (60, MEND)])
def test_a_vesicant_is_looked_at_as_often_as_the_invented_ward_says(minutes, verdict):
    value, note = step(PatientFollowUp, "Looked at", drug="noradrenaline", look_every_min=minutes)
    assert value == verdict
    assert "every 15" in note


def test_over_the_local_limit_no_chance_is_reckoned():
    picture = shown(PatientInsertion, vein="A", catheter="24-19")
    assert "chance at this attempt: not reckoned" in picture.alt
    assert "70" not in step(PatientInsertion, "Attempt", vein="A", catheter="24-19")[1]
    beyond = step(PatientInsertion, "Attempt", vein="A", catheter="24-19", attempt=3)
    assert beyond[0] == STOP
    assert "This attempt" not in beyond[1]
    assert "not reckoned" not in shown(PatientInsertion).alt


def test_a_catheter_that_crumpled_comes_out_and_was_an_attempt():
    _, note = step(PatientInsertion, "When blood shows", after_blood="slide")
    assert "Take it out; that was an attempt" in note


def test_the_ring_stands_on_the_line():
    picture = shown(PatientFollowUp, look_every_min=90)
    root = ElementTree.fromstring(picture.svg)
    ring = next(c for c in root.iter(f"{SVG}circle") if c.get("stroke-width") == "3")
    (line,) = root.iter(f"{SVG}polyline")
    points = [tuple(map(float, pair.split(","))) for pair in line.get("points").split()]
    place = np.interp(float(ring.get("cx")), *zip(*points, strict=True))
    assert float(ring.get("cy")) == pytest.approx(place, abs=0.3)


def test_bars_are_as_long_as_their_shares():
    root = ElementTree.fromstring(shown(PatientInsertion).svg)
    bars = [
        float(line.get("x2")) - float(line.get("x1"))
        for line in root.iter(f"{SVG}line")
        if line.get("stroke-width") == "14"
    ]
    long = bars[0]
    inside = 25 - 3 / math.sin(math.radians(25))
    wanted = [0.949 / 2.8, inside / 25, inside / 40, 0.7]
    assert [bar / long for bar in bars[1::2]] == pytest.approx(wanted, abs=0.001)


def test_the_bands_lie_in_the_picture_as_the_words_say_and_the_left_arm_is_the_mirror():
    rows = {s["vessel"]: np.mean(s["row"]) for s in truth.truth(arm_scene())["segments"]}
    assert rows["A"] < rows["B"] < rows["C"]
    frame = arm_frame("right")
    assert frame.shape == (240, 360)
    for name, row in rows.items():
        band = frame[round(row) - 3 : round(row) + 4].mean()
        assert band < frame[round(row) - 28 : round(row) + 29].mean(), name
    assert np.array_equal(arm_frame("left"), frame[:, ::-1])


@pytest.mark.parametrize("phase", PHASES)
def test_alt_says_each_verdict_now(phase):
    figure = phase(**{k: v for k, v in SAFE.items() if k in phase.inputs})
    assert "Go on: nothing is missing" in figure.picture["alt"]
    name, value = {"PatientAssessment": ("arm", "left"), "PatientInsertion": ("attempt", 3)}.get(
        phase.__name__, ("response", "slow")
    )
    setattr(figure, name, value)
    assert "not acceptable" in figure.picture["alt"]


def test_choices_are_shared_between_the_phases_in_both_directions():
    one = OnePatient()
    first, second = PatientAssessment(shared=one), PatientInsertion(shared=one)
    first.vein = "B"
    assert (one.vein, second.vein) == ("B", "B")
    second.vein = "A"
    assert (one.vein, first.vein) == ("A", "A")
    assert "chosen is A" in first.picture["alt"]
    assert PatientAssessment().vein == "C"


def test_every_choice_of_every_phase_is_kept():
    kept = set(OnePatient().state())
    assert kept == {name for phase in PHASES for name in phase.inputs}
    for phase in PHASES:
        default = phase().state()
        assert {name: OnePatient().state()[name] for name in default} == default


class Cells(HTMLParser):
    def __init__(self):
        super().__init__()
        self.found = []

    def handle_data(self, data):
        self.found.append(data)


def test_the_read_back_follows_the_choices_and_names_what_is_not_acceptable():
    one = OnePatient()
    read_back = PatientReadBack(one)
    assert "Stop: 6 not acceptable" in read_back.value
    for name, value in SAFE.items():
        setattr(one, name, value)
    assert "Go on: nothing is missing" in read_back.value
    assert "All your choices were acceptable." in read_back.value
    one.secured = "round"
    assert "No choice was unacceptable, but some are to be mended first." in read_back.value
    one.secured = SAFE["secured"]
    one.attempt = 3
    assert "Not acceptable, whatever else went well: attempt." in read_back.value
    assert read_back._repr_mimebundle_()["text/html"] in read_back.value


def test_the_read_back_says_the_same_as_the_phases():
    table = read_back_table(dict(SAFE))
    rows = {row[0]: row for row in table.rows}
    for phase, name in zip(PHASES, ("Assessment", "Insertion", "Follow-up"), strict=True):
        for reading in shown(phase).readings:
            row = rows.pop(f"{name}: {reading.label}")
            assert row[3] == reading.value
            assert row[2] in reading.note
    assert rows == {}
    cells = Cells()
    cells.feed(table._repr_html_())
    assert "Your choice" in cells.found
