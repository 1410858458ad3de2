"""What a critical principle is, and the vignettes that ask for it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, combinations

from cubital.items.kinds.base import repeated

_FEWEST_PRESENT = 6  # two for each of three sittings
_FEWEST_STOPS = 3  # where stopping is right: so "stop" alone does not find the right way
_FEWEST_OF_A_SORT = 2  # where going on is right: ways that go on, and ways that stop


@dataclass(frozen=True)
class Way:
    """One way to act; ``stops`` where it stops, withholds or hands on instead of going on.

    ``misconception`` says what somebody who takes it believes or overlooks; the right one has none.
    """

    key: str
    text: str
    stops: bool
    misconception: str = ""

    @property
    def right(self) -> bool:
        """Whether this is the way to go."""
        return not self.misconception


@dataclass(frozen=True)
class Vignette:
    """One short case in which a principle decides.

    ``present`` is whether what the principle warns of is there: then stopping is right, and
    somebody who goes on has missed the principle. Where only something like it is there, going
    on is right, and somebody who stops loses marks and nothing else. ``because`` says what
    decides. ``sources`` are keys of ``assets/bibliography.toml``; without one it is common
    practice.
    """

    key: str
    present: bool
    story: str
    ways: tuple[Way, ...]
    because: str
    sources: tuple[str, ...] = ()

    def faults(self) -> Iterator[str]:
        """Yield what is wrong with it."""
        right = [way for way in self.ways if way.right]
        stops = sum(way.stops for way in self.ways)
        goes_on = len(self.ways) - stops
        if len(right) != 1:
            yield f"{self.key}: {len(right)} ways are right, and one must be"
        elif right[0].stops != self.present:
            yield f"{self.key}: stopping is right where, and only where, the trigger is present"
        if self.present and (stops < _FEWEST_STOPS or not goes_on):
            yield f"{self.key}: {stops} ways stop and {goes_on} go on: 3 and 1 at least"
        if not self.present and min(stops, goes_on) < _FEWEST_OF_A_SORT:
            yield f"{self.key}: {stops} ways stop and {goes_on} go on: 2 of each at least"
        yield from (f"{self.key}: two ways have the key {key!r}" for key in self._repeated_keys())

    def _repeated_keys(self) -> list[str]:
        return repeated([way.key for way in self.ways])


@dataclass(frozen=True)
class Principle:
    """A rule of the course that nobody may miss, and the vignettes that ask for it.

    ``rule`` is what the feedback says of it; ``section`` is the heading of the lesson that
    teaches it. ``pairs`` are the keys of the vignettes in which the trigger is present, two and
    two: a sitting asks both of one pair. They are put together so that who holds a misconception
    that comes back in several vignettes meets it in every pair.
    """

    key: str
    title: str
    rule: str
    section: str
    pairs: tuple[tuple[str, str], ...]
    vignettes: tuple[Vignette, ...]

    @property
    def present(self) -> tuple[Vignette, ...]:
        """The vignettes in which what it warns of is there."""
        return tuple(vignette for vignette in self.vignettes if vignette.present)

    @property
    def absent(self) -> tuple[Vignette, ...]:
        """The vignettes in which it is not there, and going on is right."""
        return tuple(vignette for vignette in self.vignettes if not vignette.present)

    def pairs_among(self, left: Iterable[Vignette]) -> Sequence[tuple[str, str]]:
        """Return the pairs that may be asked of those vignettes with the trigger that are left.

        Where no pair is whole any more, any two do: a release of an earlier edition, whose papers
        asked any two, may have asked one of each.
        """
        keys = [vignette.key for vignette in left]
        whole = [pair for pair in self.pairs if set(pair) <= set(keys)]
        return whole or list(combinations(sorted(keys), 2))

    def faults(self) -> Iterator[str]:
        """Yield what is wrong with it and its vignettes."""
        present, paired = [one.key for one in self.present], list(chain(*self.pairs))
        if sorted(paired) != sorted(present):
            amiss = sorted({*present} ^ {*paired}) or repeated(paired)
            yield (
                f"{self.key}: each vignette with the trigger stands in one pair, not so "
                f"{', '.join(amiss)}"
            )
        if len(self.present) < _FEWEST_PRESENT:
            yield f"{self.key}: {len(self.present)} vignettes with the trigger, 6 at least"
        if not self.absent or len(self.absent) * 3 > len(self.vignettes):
            yield f"{self.key}: {len(self.absent)} vignettes without the trigger: 1 to a third"
        yield from (
            f"{self.key}: two vignettes have the key {key!r}"
            for key in repeated([vignette.key for vignette in self.vignettes])
        )
        for vignette in self.vignettes:
            yield from vignette.faults()
