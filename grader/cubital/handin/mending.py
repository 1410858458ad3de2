"""Where to read again what an item asks: the lesson's section, and the lesson's title."""

import functools

from cubital import items, tables
from cubital.tables.course import lessons


def where_to_read(item_id: str, section: str) -> str:
    """Name the section that teaches an item, and its lesson where the course tells it."""
    title = lesson_title(item_id)
    return f"“{section}” in the lesson {title}" if title else f"“{section}” in the lesson"


def lesson_title(item_id: str) -> str:
    """Return the title of the lesson that teaches an item; empty where the course does not tell."""
    titles = {lesson.name: lesson.title for lesson in lessons()}
    lesson = lesson_of(item_id)
    return titles.get(lesson, lesson)


def lesson_of(item_id: str) -> str:
    """Return the name of the lesson that teaches an item; empty where the course does not tell it.

    The item itself tells it, or an objective, or the worksheet that an item of no objective stands
    in, or, where that worksheet is of no lesson, what else is asked of the item's section.
    """
    return _lessons().get(item_id, "")


@functools.cache
def _lessons() -> dict[str, str]:
    of_worksheets = {
        item.id: lesson.name
        for lesson in lessons()
        for item in items.WORKSHEETS.get(lesson.worksheet, ())
    }
    of_objectives = {
        item: objective.lesson
        for objective in tables.curriculum().objectives
        for item in objective.items
    }
    known = of_worksheets | of_objectives
    asked = [item for listed in items.WORKSHEETS.values() for item in listed]
    sections = {item.section: known[item.id] for item in asked if item.id in known}
    found = {item.id: sections.get(item.section, "") for item in asked} | known
    return found | {item.id: item.lesson for item in asked if item.lesson}
