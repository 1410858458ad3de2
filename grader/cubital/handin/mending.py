"""Where to read again what an item asks: the lesson's section, and the lesson's title."""

import functools

from cubital import tables
from cubital.tables.course import lessons


def where_to_read(item_id: str, section: str) -> str:
    """Name the section that teaches an item, and its lesson where an objective tells it."""
    lesson = _lesson_titles().get(item_id)
    return f"“{section}” in the lesson {lesson}" if lesson else f"“{section}” in the lesson"


@functools.cache
def _lesson_titles() -> dict[str, str]:
    titles = {lesson.name: lesson.title for lesson in lessons()}
    return {
        item: titles.get(objective.lesson, objective.lesson)
        for objective in tables.curriculum().objectives
        for item in objective.items
    }
