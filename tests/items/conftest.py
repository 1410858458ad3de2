"""What a thousand learners are asked, drawn once for all tests of a run."""

import functools

import pytest

from cubital import items
from cubital.handin.released.release import new_release

LEARNERS = tuple(f"learner-{number:04d}" for number in range(1000))


@pytest.fixture(scope="session")
def drawn():
    """A function: the values that a thousand learners get of an item, to be read, not changed."""
    releases = {name: new_release("autumn", name) for name in items.WORKSHEETS}
    sheets = {item.id: name for name, listed in items.WORKSHEETS.items() for item in listed}

    @functools.cache
    def draw(item_id):
        item, release = items.find(item_id), releases[sheets[item_id]]
        return tuple(release.values(item, learner) for learner in LEARNERS)

    return draw
