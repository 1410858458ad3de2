"""The key of a question: all that judging an answer takes, as plain data, with no item at hand.

A key is worked out from an item and one learner's values. It then stands for itself: a release
keeps its keys, so that its answers are judged by what was right when it was made, whatever the
course's items say later.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, NamedTuple

from cubital.items.kinds.form import Answer, Form
from cubital.items.kinds.plain import Plain

Truth = Mapping[str, Any]


@dataclass(frozen=True)
class Judgement:
    """What the marker decides on one answer.

    ``outcome`` is ``right``, ``slip`` (a known mistake), ``wrong``, ``blank``, ``refused``
    (an answer that is not in the form of this item) or ``waiting`` (for hand-marking).
    ``misconception`` says what the slip rests on: presumed, until learners say so themselves.
    ``tally`` counts what was said of short trials, as `on_pictures.tally` writes it.
    """

    outcome: str
    points: float
    message: str
    slip: str | None = None
    misconception: str = ""
    tally: str = ""


class MissingTruthError(ValueError):
    """The truth of a picture is not at hand."""


class Believed(NamedTuple):
    """Something that may be answered, and what is believed by who answers so; empty if right."""

    key: str
    misconception: str


@dataclass(frozen=True, kw_only=True)
class Key(Plain):
    """What decides on the answers to one form; a subclass for each kind says how.

    ``section`` is where the lesson teaches it, ``route`` how the right answer comes about,
    ``version`` the item's that it was worked out from, and ``critical`` whether it must be right to
    pass. ``needs`` says what judging takes beside
    form and answer: nothing, a picture's ``truth``, the ``results`` of a learner's function, or a
    ``person``.
    """

    called: ClassVar[str] = "a key"
    needs: ClassVar[str] = ""

    points: float
    section: str
    route: str
    version: int
    critical: bool

    def judge(self, form: Form, answer: Answer | None, truth: Truth | None = None) -> Judgement:
        """Mark an answer that the form read; any other is refused with no points.

        ``truth`` is that of the form's picture.

        Raises
        ------
        MissingTruthError
            ``needs`` asks for a truth, and there is none.
        """
        if answer is None:
            return self.judged("blank", "Not answered.")
        if self.needs == "truth" and truth is None:
            raise MissingTruthError("an answer on a picture is judged with the picture's truth")
        try:
            return self._judge(form, answer, truth)
        except (KeyError, TypeError, ValueError) as error:
            return self.judged("refused", f"The saved answer is not of this item's form: {error}")

    def _judge(self, form: Any, answer: Answer, truth: Truth | None) -> Judgement:
        raise NotImplementedError

    def right_in_words(self, form: Any) -> str:
        """Say what is right, where a few words can; empty where the route says it, or nothing."""
        return ""

    def judged(
        self, outcome: str, message: str, slip: str | None = None, misconception: str = ""
    ) -> Judgement:
        """Return a judgement with all points for ``right`` and none otherwise."""
        points = self.points if outcome == "right" else 0.0
        return Judgement(outcome, points, message, slip, misconception)

    def slipped(self, opening: str, key: str, misconception: str) -> Judgement:
        """Return the judgement of a known mistake; ``opening`` leads up to what it rests on."""
        return self.judged("slip", f"{opening} {misconception}.", key, misconception)
