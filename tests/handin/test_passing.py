"""The course decides on its total and its critical questions, and a worksheet on nothing."""

from dataclasses import replace

import pytest

from cubital import items, tables
from cubital.handin import passing
from cubital.handin.objectives import Knowledge
from cubital.handin.passing import Part, decide
from cubital.handin.released.release import new_release
from cubital.handin.results import MARKED, MISSING, ItemResult, SubmissionResult
from cubital.handin.standard import Standard, pass_mark_of, standard_of, together
from cubital.tables import Expected, Objective, course

# Four worksheets of 25 two-mark questions, half of whose points pass: 100 of 200. The error of
# measurement there, by hand: the square root of 100 x 2^2 x 0.5 x 0.5 is 10.
HALF = Standard(25, 50, 4, worth=(2.0,) * 25)


def result(points: float, *, waits: float = 0.0, state: str = MARKED) -> SubmissionResult:
    rows = [ItemResult("a", "right", points, 50 - waits, "")]
    rows += [ItemResult("t", "waiting", None, waits, "")] if waits else []
    return SubmissionResult("ann", "w", "r", state, items=tuple(rows) if state == MARKED else ())


def sat(*points: float, standard: Standard = HALF) -> list[Part]:
    return [Part(f"sheet-{n}", standard, result(one)) for n, one in enumerate(points)]


def wrong(part: Part) -> Part:
    rule = Objective("k", "T", "t", "l", "s", ("a",), ("a",), 0.5, "Watches.")
    return replace(
        part, knowledge=(Knowledge("ann", rule, "to work on", "", critical_wrong=("a",)),)
    )


@pytest.mark.parametrize(
    ("points", "state"),
    [
        ((50, 50, 10, 0), "passed"),  # 110: one error above, and that is far enough
        ((50, 50, 9, 0), "too near to decide: a parallel form"),
        ((25, 25, 25, 25), "too near to decide: a parallel form"),
        ((25, 25, 25, 16), "too near to decide: a parallel form"),
        ((25, 25, 25, 15), "not passed yet"),  # 90: one error below
        ((50, 50, 50, 50), "passed"),
    ],
)
def test_the_total_decides_and_not_where_it_lies_within_one_error_of_the_cut(points, state):
    found = decide(sat(*points))
    assert found.state == state
    assert (found.points, found.of, found.cut, found.error) == (sum(points), 200, 100, 10)


def test_one_worksheet_can_be_weak_when_the_course_is_strong():
    assert decide(sat(0, 50, 50, 50)).state == "passed"


def test_a_critical_question_that_is_wrong_is_outweighed_by_no_points():
    parts = sat(50, 50, 50, 48)
    found = decide([*parts[:3], wrong(parts[3])])
    assert found.state == "not passed yet"
    assert found.reason == "must be right, and is not yet: a"
    assert found.critical_wrong == ("a",)
    assert decide([wrong(parts[0]), Part("not-released")]).state == "not passed yet"


@pytest.mark.parametrize(
    "last",
    [
        Part("last", HALF, result(25, waits=3)),
        Part("last", HALF, result(0, state=MISSING)),
        Part("last", HALF, result(0, state="held")),
        Part("last"),  # not released
    ],
)
def test_nothing_is_decided_before_every_worksheet_is_marked_as_a_whole(last):
    found = decide([*sat(50, 50, 50), last])
    assert found.state == "open"
    assert found.reason == "3 of 4 worksheets are marked; open: last"


def test_no_judge_no_decision():
    parts = sat(50, 50, 50, 50)
    made_up = replace(parts[0], standard=replace(HALF, invented=True))
    found = decide([made_up, *parts[1:]])
    assert found.state == "no decision"
    assert "invented" in found.reason
    critical = decide([wrong(made_up), *parts[1:]])
    assert (critical.state, critical.critical_wrong) == ("no decision", ("a",))
    lacks = decide([replace(parts[0], standard=None), *parts[1:]])
    assert lacks.state == "no decision"
    assert lacks.reason == "nothing says what passes sheet 0"


@pytest.mark.parametrize(("questions", "state"), [(59, "no decision"), (60, "passed")])
def test_fewer_than_sixty_questions_decide_nothing(questions, state):
    few = Standard(questions, 2 * questions, 4, worth=(2.0,) * questions)
    assert decide(sat(2 * questions, standard=few)).state == state


# A parallel form of 48 points, of which 24 pass, beside the 200 of which 100 do: 248 and 124. The
# error at the second cut, by hand: the square root of 24 x 2^2 x 0.5 x 0.5 is 4.9, and of both
# forms that of 100 + 24 is 11.14.
FORM = Standard(24, 48, 4, worth=(2.0,) * 24)


@pytest.mark.parametrize(
    ("first", "second", "state"),
    [
        (95, 29, "passed"),  # 124: both sums at both cuts
        (95, 28, "not passed yet"),  # 123, though 28 alone is above its 24
        (105, 18, "not passed yet"),  # 123, though 105 alone is above its 100
        (105, 19, "passed"),
        (91, 48, "passed"),
        (109, 0, "not passed yet"),
        (110, 0, "passed"),  # it was not too near: the form counts for nothing
        (90, 48, "not passed yet"),
    ],
)
def test_both_sums_together_decide_what_one_left_open_and_never_the_better(first, second, state):
    parallel = [Part("p", FORM, result(second))]
    found = decide(sat(50, 25, 15, first - 90), parallel)
    assert found.state == state
    both = (first + second, 248, 124) if 90 < first < 110 else (first, 200, 100)
    assert (found.points, found.of, found.cut) == both
    assert found.error == pytest.approx(11.136 if both[1] == 248 else 10, abs=5e-4)


def test_the_reason_says_both_sums():
    found = decide(sat(50, 25, 15, 5), [Part("p", FORM, result(29))])
    assert found.reason == (
        "95 of 200 points, 100.0 needed: that is within one standard error of measurement, 10.0 "
        "points. With the parallel form, 29 of 48, both together: 124 of 248 points, 124.0 needed"
    )


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        (sat(50, 50, 10, 0), "Passed: 110 of 200 points, 100.0 needed."),
        (sat(25, 25, 25, 15), "Not passed yet: 90 of 200 points, 100.0 needed."),
        (
            [*sat(50, 50, 50), wrong(sat(50)[0])],
            "Not passed yet: must be right, and is not yet: a.",
        ),
        (
            [*sat(50, 50, 50), Part("the-last")],
            "No decision yet: 3 of 4 worksheets are marked; open: the last.",
        ),
        (
            sat(50, standard=replace(HALF, invented=True)),
            "No decision: the pass mark of the course comes from invented judges, so nobody passes "
            "or fails by it.",
        ),
    ],
)
def test_a_learner_is_told_in_plain_words(parts, said):
    assert passing.in_words(decide(parts)) == said


def test_until_the_whole_form_is_marked_it_is_named_and_nothing_is_decided():
    near = sat(50, 25, 15, 5)
    form = ", ".join(name.replace("-", " ") for name in passing.parallel_worksheets())
    none = decide(near)
    assert none.state == "too near to decide: a parallel form"
    assert f"Next: a parallel form of {form}. Both sums together decide" in none.reason
    done, missing = Part("a-b", FORM, result(48)), Part("c-d", FORM, result(0, state=MISSING))
    half = decide(near, [done, missing])
    assert (half.state, half.points) == (none.state, 95)
    assert f"of {form}; open: c d. Both" in half.reason
    waits = decide(near, [done, Part("c-d", FORM, result(40, waits=2))])
    assert waits.state == none.state


def test_a_form_whose_judges_are_invented_decides_nothing_and_its_critical_ones_give_points():
    near = sat(50, 25, 15, 5)
    made_up = Part("p", replace(FORM, invented=True), result(48))
    assert decide(near, [made_up]).state == "no decision"
    assert decide(near, [wrong(Part("p", FORM, result(29)))]).state == "passed"


def test_the_form_asks_enough_to_decide_by_and_the_same_worksheets_of_everybody():
    named = passing.parallel_worksheets()
    asked = {n: [i for i in items.WORKSHEETS[n] if passing.asked_anew(i)] for n in items.WORKSHEETS}
    assert sum(len(asked[name]) for name in named) >= 60
    assert sum(len(asked[name]) for name in named[:-1]) < 60
    left = [len(rows) for name, rows in asked.items() if name not in named]
    assert max(left) <= min(len(asked[name]) for name in named)


@pytest.mark.parametrize("worksheet", passing.parallel_worksheets())
def test_what_the_form_asks_differs_from_learner_to_learner(worksheet):
    release = new_release("r", worksheet)
    for item in items.WORKSHEETS[worksheet]:
        if item.optional or isinstance(item, items.PictureItem):
            continue
        drawn = [release.values(item, f"learner-{n}") for n in range(20)]
        told = {(item.ask(v), item.right_in_words(v, None)) for v in drawn}
        assert (len(told) > 1) == passing.asked_anew(item), item.id


def test_an_optional_question_counts_for_nothing_and_nothing_waits_for_it():
    more = ItemResult("more", "waiting", None, 2, "", optional=True)
    done = replace(more, points=2.0)
    parts = sat(25, 25, 25, 15)
    for extra in (more, done):
        one = replace(parts[0].result, items=(*parts[0].result.items, extra))
        assert decide([replace(parts[0], result=one), *parts[1:]]).points == 90
        assert decide([replace(parts[0], result=one), *parts[1:]]).state == "not passed yet"


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_what_is_recognised_in_pictures_decides_nothing(tmp_path, share):
    """Somebody right in all else passes with nothing recognised; all recognised lifts nobody."""
    judged = {name: pass_mark_of(tmp_path, new_release("r", name)) for name in passing.required()}
    apart = {"place", "series", "trials"}
    parts = []
    for name, standard in judged.items():
        rows = [
            ItemResult(
                item.id,
                "right",
                item.points * (share if item.kind in apart else 1 - share),
                item.points,
                "",
            )
            for item in items.WORKSHEETS[name]
            if not item.optional
        ]
        own = replace(standard, invented=False)
        if own.without_apart is not None:
            own = replace(own, without_apart=replace(own.without_apart, invented=False))
        done = SubmissionResult("ann", name, "r", MARKED, items=tuple(rows))
        parts.append(Part(name, own, done))
    found = decide(parts)
    counted = [i for listed in items.WORKSHEETS.values() for i in listed if not i.optional]
    assert found.of == sum(item.points for item in counted if item.kind not in apart)
    assert found.state == ("passed" if share == 0 else "not passed yet")
    assert found.points == (found.of if share == 0 else 0)
    assert "count for their worksheet, and not for what the course decides" in passing.rule()


# ------------------------------------------------------------------------------ the real course


def shipped(tmp_path):
    rows = [pass_mark_of(tmp_path, new_release("r", name)) for name in passing.required()]
    return together(rows)


def test_the_course_has_enough_questions_to_decide_by(tmp_path):
    whole = shipped(tmp_path)
    counted = [i for listed in items.WORKSHEETS.values() for i in listed if not i.optional]
    assert sorted(passing.required()) == sorted(items.WORKSHEETS)
    assert (len(whole.worth), whole.points) == (len(counted), sum(i.points for i in counted))
    whole = together(
        pass_mark_of(tmp_path, new_release("r", name)).deciding for name in passing.required()
    )
    alike = passing.consistency(whole)
    bounds = tables.files.asset("statistics/decisions.toml")
    assert len(whole.worth) >= bounds["fewest_to_decide"]
    assert alike.share >= bounds["least_consistency"]
    assert alike.kappa >= bounds["least_kappa"]


@pytest.mark.parametrize("worksheet", items.WORKSHEETS)
def test_no_worksheet_alone_is_enough(worksheet, tmp_path):
    alone = pass_mark_of(tmp_path, new_release("r", worksheet))
    assert (
        passing.consistency(alone).share
        < tables.files.asset("statistics/decisions.toml")["least_consistency"]
    )
    assert "too few to decide by" in passing.consistency_in_words(alone)


def test_every_worksheet_is_more_than_a_hint():
    assert not any(passing.is_hint(len(listed)) for listed in items.WORKSHEETS.values())


def test_the_rule_says_how_many_worksheets_a_path_requires():
    short = course.Path("k", "w", ("10-light-and-depth", "70-readiness"), "n")
    assert passing.required(short) == ("light-and-depth", "readiness", "whole-course")
    assert "points of its 3 worksheets together (60 questions or more)" in passing.rule(short)
    assert "points of its 9 worksheets together" in passing.rule()


@pytest.mark.parametrize("path", course.paths()[1:], ids=lambda path: path.key)
def test_a_path_with_a_lesson_that_nothing_asks_about_passes_nobody(path):
    assert "" not in passing.required(path)
    assert "On this path the course decides nothing" in passing.rule(path)
    assert "points of its" not in passing.rule(path)


# ------------------------------------------------------------------------------- whose pass mark


def test_the_judges_that_ship_are_invented_until_a_panel_says_its_own(tmp_path):
    release = new_release("r", "catheter-sizing")
    assert pass_mark_of(tmp_path, release).invented
    header, *rows = (
        (tables.course_folder("assets") / "judges" / "standard-catheter-sizing.csv")
        .read_text(encoding="utf-8")
        .splitlines()
    )
    (tmp_path / "standard-ours.csv").write_text("\n".join([header, *rows]), encoding="utf-8")
    assert pass_mark_of(tmp_path, release).invented, "nothing says who the panel was"
    (tmp_path / "standard-setting.toml").write_text("invented = false\n", encoding="utf-8")
    assert not pass_mark_of(tmp_path, release).invented
    (tmp_path / "standard-ours.csv").write_text("\n".join([header, *rows[:-2]]), encoding="utf-8")
    assert pass_mark_of(tmp_path, release).invented, "one item's estimates are still made up"


def test_a_share_that_the_educator_set_is_nobodys_invention(tmp_path):
    (tmp_path / "bank.toml").write_text("[pass_share]\ncatheter-sizing = 0.6\n", encoding="utf-8")
    found = pass_mark_of(tmp_path, new_release("r", "catheter-sizing"))
    asked = [item for item in items.WORKSHEETS["catheter-sizing"] if not item.optional]
    share = 0.6 * sum(item.points for item in asked)
    assert (found.pass_mark, found.invented) == (pytest.approx(share), False)


def test_the_panels_own_error_is_that_of_its_judges_sums():
    # Three judges, two items of 2 and 4 points: 2 x 0.5 + 4 x 0.5 = 3, 2 x 0.7 + 4 x 0.6 = 3.8,
    # 2 x 0.6 + 4 x 0.7 = 4. Mean 3.6, SD 0.5292, over the square root of 3: 0.3055.
    rows = {"a": Expected("a", 2, (0.5, 0.7, 0.6)), "b": Expected("b", 4, (0.5, 0.6, 0.7))}
    found = standard_of(("a", "b"), rows)
    assert found.own == pytest.approx((3, 3.8, 4))
    assert found.panel_error == pytest.approx(0.3055, abs=5e-5)
    assert together([found, found]).own == pytest.approx((6, 7.6, 8))
    alone = standard_of(("a",), {"a": Expected("a", 2, (0.5,))}, invented=True)
    assert (alone.panel_error, alone.invented, alone.by_author) == (None, False, 1)
