"""What items on simulated pictures have in common: the picture's size, marks, and the truth.

The picture's name is one of the learner's values; its truth lies with the marker, and comes
along when an answer is judged. Simulated, not clinically validated.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from cubital.items.kinds.base import Item, Values
from cubital.items.kinds.form import Answer, Form
from cubital.items.kinds.key import Key, MissingTruthError, Truth
from cubital.items.typed.quantity import UnreadableAnswerError
from cubital.scene.files.planning import Size, usual_sizes

SEALED = "It lies sealed with the picture."


Told = Callable[[str], Any]  # what is sealed of a picture, by its name


@dataclass(frozen=True, kw_only=True)
class OnPictures(Form):
    """How many pixels and frames each picture has that the question is about."""

    width_px: int
    height_px: int
    frames: int

    @property
    def pictures(self) -> tuple[str, ...]:
        """The names of its pictures, in the order shown."""
        raise NotImplementedError

    def truth(self, told: Told) -> Truth:
        """Return the truth that the key judges by, of what ``told`` gives of a picture's name."""
        raise NotImplementedError


@dataclass(frozen=True, kw_only=True)
class PictureForm(OnPictures):
    """The name of the one picture; ``most`` marks may be set on it, 0 for any number."""

    most: ClassVar[int] = 0

    picture: str

    @property
    def pictures(self) -> tuple[str, ...]:
        """The picture's name."""
        return (self.picture,)

    def truth(self, told: Told) -> Truth:
        """Return the picture's truth."""
        found: Truth = told(self.picture)["truth"]
        return found

    @property
    def none(self) -> str:
        """The words that say that there is nothing to mark; empty where an option says it."""
        return ""

    def marks(self, answer: Answer) -> list[list[int]]:
        """Return the marks of a saved answer as columns and rows."""
        raise NotImplementedError

    def checked_mark(self, mark: Any) -> list[int]:
        """Return a mark as column and row, or raise with where it must lie."""
        if not isinstance(mark, list | tuple) or len(mark) != 2:
            raise UnreadableAnswerError("A mark is a column and a row.")
        for name, value, size in zip(
            ("column", "row"), mark, (self.width_px, self.height_px), strict=True
        ):
            if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < size:
                raise UnreadableAnswerError(
                    f"The {name} of a mark is {value!r:.20}: it must be a whole number from 0 to "
                    f"{size - 1}."
                )
        return list(mark)

    def parts(self) -> dict[str, object]:
        """Return what the page asks for beside the picture itself."""
        return {"most": self.most, "none": self.none}


@dataclass(frozen=True, kw_only=True)
class PictureKey(Key):
    """What decides with the truth of a picture, and what that shows."""

    needs: ClassVar[str] = "truth"

    def there(self, form: Any, truth: Truth) -> list[list[int]]:
        """Return the columns and rows of all that the picture shows."""
        return []

    def frame_to_show(self, truth: Truth) -> int:
        """Return the frame on which feedback shows what is there."""
        return 0

    def happening(self, truth: Truth) -> str:
        """Say what happens in the picture; empty where the places say all."""
        return ""


@dataclass(frozen=True)
class PictureItem(Item):
    """An item on a picture of the release's pool; ``pool`` says how many of each kind to render.

    ``draw_values`` puts one of the pictures' names, drawn from ``draw.pictures``, under
    ``"picture"``.
    """

    kind: ClassVar[str] = "picture"
    needs: ClassVar[str] = PictureKey.needs
    size_name: ClassVar[str] = "picture"

    pool: Mapping[str, int] | None = None

    def form(self, values: Values) -> OnPictures:
        """Return the form at these values."""
        raise NotImplementedError

    @property
    def few(self) -> tuple[str, ...]:
        """The kinds of picture that practice takes from, one of which is shown."""
        return ()

    def size_parts(self) -> dict[str, Any]:
        """Return what the forms of all its kinds say of a picture's size."""
        size = self.size
        return {"width_px": size.width_px, "height_px": size.height_px, "frames": size.frames}

    @property
    def size(self) -> Size:
        """The size of its pictures."""
        return usual_sizes()[self.size_name]

    def key(self, values: Values, *, seal: str = "") -> PictureKey:
        """Return the key, which the picture's truth completes."""
        raise NotImplementedError

    def slip_keys(self, draws: Iterable[Values]) -> set[str]:
        """Return the keys of the slips, which are the same whatever a picture shows."""
        return {mistake.key for mistake in self.mistakes({})}


def known(truth: Truth | None) -> Truth:
    """Return the truth, or raise: without it nobody can say what is right."""
    if truth is None:
        raise MissingTruthError("the truth of the picture is not at hand")
    return truth
