"""Every item has a level, and one is stated only where it is not that of the item's kind."""

from cubital import items
from cubital.items import KINDS
from cubital.items.levels import LEVELS, OF_KIND, _stated, level_of

ALL = {item.id: item for listed in items.WORKSHEETS.values() for item in listed}


def test_every_kind_has_a_level_and_every_level_is_asked():
    assert set(OF_KIND) == set(KINDS)
    assert {level_of(item) for item in ALL.values()} == set(LEVELS)


def test_what_is_stated_is_of_an_item_and_differs_from_its_kind():
    for name, level in _stated().items():
        assert level in LEVELS
        assert level != OF_KIND[ALL[name].kind], name
