"""A new kind is a form and a judgement: all else takes it with no change of its own."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar

import pytest

from cubital import items
from cubital.handin.marks import mark
from cubital.handin.released.bank import Bank
from cubital.handin.released.release import AT_ONCE, new_release, write_release
from cubital.handin.results import feedback
from cubital.items import Form, Item, Judgement, Key, Mistake, UnreadableAnswerError, form_of
from cubital.items.kinds import KINDS, Kind
from cubital.items.kinds.base import Values
from cubital.items.kinds.form import Answer
from cubital.items.kinds.key import Truth
from cubital.items.kinds.rules import faults
from cubital.records.bank import page, summary
from cubital.records.bank.space import space
from cubital.worksheet.fields import field
from cubital.worksheet.sitting import Sitting, sitting


@dataclass(frozen=True, kw_only=True)
class SideForm(Form):
    """One of two sides, in letters."""

    kind: ClassVar[str] = "side"
    holds: ClassVar[str] = "side"

    sides: tuple[str, ...]

    @property
    def hint(self) -> str:
        return f"Type {' or '.join(self.sides)}."

    def read(self, typed: Any) -> dict[str, Any]:
        if str(typed).strip().lower() not in self.sides:
            raise UnreadableAnswerError(self.hint)
        return {"side": str(typed).strip().lower()}

    def in_words(self, answer: Answer) -> str:
        return f"the {answer['side']} arm"


@dataclass(frozen=True, kw_only=True)
class SideKey(Key):
    kind: ClassVar[str] = "side"

    right: str
    why: str

    def _judge(self, form: SideForm, answer: Answer, truth: Truth | None) -> Judgement:
        if answer["side"] == self.right:
            return self.judged("right", "Right.")
        return self.slipped("This is the arm of someone who", "other-arm", self.why)


@dataclass(frozen=True)
class SideItem(Item):
    """Which of two arms; who takes the other one has a reason."""

    kind: ClassVar[str] = SideForm.kind

    right: Callable[[Values], str] = lambda _values: ""
    why: str = ""

    def form(self, values: Values) -> SideForm:
        return SideForm(**self.form_parts(values), sides=("left", "right"))

    def key(self, values: Values, *, seal: str = "") -> SideKey:
        return SideKey(**self.key_parts(values), right=self.right(values), why=self.why)

    def solution(self, values: Values, truth: Truth | None = None) -> str:
        return self.right(values)

    def slip_answers(self, values: Values, truth: Truth | None = None) -> dict[str, str]:
        return {"other-arm": "left" if self.right(values) == "right" else "right"}

    def mistakes(self, values: Values) -> Sequence[Mistake]:
        return [Mistake("other-arm", self.slip_answers(values)["other-arm"], self.why)]

    def faults_at(self, values: Values) -> Iterator[str]:
        if self.right(values) not in {"left", "right"}:
            yield f"right is {self.right(values)!r}, which is no side"


ARM = SideItem(
    id="own-arm",
    title="Which arm",
    points=2,
    section="Arms",
    draw_values=lambda draw: {
        "fistula": draw.choose(("left", "right")),
        "bed": draw.choose((1, 2, 3, 4)),
    },
    ask=lambda v: f"In bed {v['bed']}, the fistula is in the {v['fistula']} arm. Which arm?",
    right=lambda v: "left" if v["fistula"] == "right" else "right",
    why="passes over the fistula",
)
RELEASE = new_release("autumn", "arms", feedback=AT_ONCE, listed=(ARM,))


@pytest.fixture(autouse=True)
def registered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(items.WORKSHEETS, "arms", (ARM,))
    monkeypatch.setitem(KINDS, SideForm.kind, Kind(SideForm, SideKey, SideItem))


@pytest.fixture
def here(tmp_path: Any) -> Sitting:
    folder = tmp_path / "ada.alder" / "arms"
    write_release(folder, RELEASE)
    return sitting(folder)


def test_it_is_asked_refused_saved_and_shown_again(here: Sitting) -> None:
    values = RELEASE.values(ARM, "ada.alder")
    right = ARM.solution(values)
    form = field(here, ARM.id)
    assert (form.kind, form.question, form.hint) == ("side", ARM.ask(values), "Type left or right.")
    form.enter("both")
    assert form.status == "Not saved. Type left or right."
    form.enter(right.upper())
    assert form.status.endswith(". Right.")
    form.enter("neither")
    assert f"Your earlier answer stays: the {right} arm." in form.status
    assert (field(here, ARM.id).state, field(here, ARM.id).entered) == ("saved", right)


def test_it_is_judged_and_explained(here: Sitting) -> None:
    values = RELEASE.values(ARM, "ada.alder")
    entry = here.store.save(ARM.id, ARM.slip_answers(values)["other-arm"])
    result = mark(RELEASE.question(ARM, "ada.alder"), entry)
    assert (result.outcome, result.points, result.slip) == ("slip", 0, "other-arm")
    rows = dict(feedback(RELEASE.question(ARM, "ada.alder"), result))
    assert rows["Your answer"] == f"the {values['fistula']} arm"
    assert rows["Why"] == "This is the arm of someone who passes over the fistula."


def test_it_is_in_the_bank_with_its_answer_and_slip() -> None:
    bank = Bank({"arms": (ARM,)})
    drawn = summary.drawn(bank, ARM, RELEASE, "ada.alder", at=RELEASE.values(ARM, "ada.alder"))
    told = page.text(drawn, space(ARM, RELEASE, 20))
    right = ARM.solution(RELEASE.values(ARM, "ada.alder"))
    assert f"Right: the {right} arm" in told
    assert "This answer passes over the fistula." in told
    assert summary.count_slips(ARM, RELEASE) == 1
    (row,) = summary.entries(bank, {"arms": RELEASE}, kind="side")
    assert (row.id, row.kind, row.slips) == ("own-arm", "side", 1)


def test_the_rules_hold_it_to_what_it_says() -> None:
    def draws(item: Item) -> Callable[[str], dict[str, Any]]:
        return lambda learner: RELEASE.values(item, learner)

    assert faults(ARM, draws(ARM), learners=20) == []
    broken = replace(ARM, right=lambda _v: "both")
    assert "right is 'both', which is no side" in faults(broken, draws(broken), learners=20)[0]
    same = replace(ARM, draw_values=lambda _draw: {"fistula": "left", "bed": 1})
    assert "1 different sets of values" in faults(same, draws(same), learners=20)[0]


def test_an_optional_item_says_so_in_its_title_and_need_not_be_right_to_pass() -> None:
    def told(**changed: Any) -> list[str]:
        item = replace(ARM, optional=True, **changed)
        return faults(item, lambda learner: RELEASE.values(item, learner), learners=20)

    assert told(title="Optional: which arm") == []
    assert told() == ["title is 'Which arm': it must say that the question is optional"]
    assert told(title="Optional: which arm", critical=True) == [
        "it is optional, and yet must be right to pass"
    ]


def test_its_form_goes_out_as_data_and_comes_back() -> None:
    form = ARM.form(RELEASE.values(ARM, "ada.alder"))
    assert form_of(form.data()) == form
