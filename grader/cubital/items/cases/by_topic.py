"""The questions on the cases of each topic, as its worksheet asks them."""

from cubital.items.cases import (
    complications,
    focus,
    light,
    patient,
    reaching,
    readiness,
    reading,
    short_lessons,
    sizing,
)
from cubital.items.cases.case import item_of

SIZING = tuple(map(item_of, sizing.CASES))
REACHING = tuple(map(item_of, reaching.CASES))
LIGHT = tuple(map(item_of, light.CASES))
READING = tuple(map(item_of, reading.CASES))
FOCUS = tuple(map(item_of, focus.CASES))
COMPLICATIONS = tuple(map(item_of, complications.CASES))
READINESS = tuple(map(item_of, readiness.CASES))
PATIENT = tuple(map(item_of, patient.CASES))
SHORT_LESSONS = (
    *(item_of(one, optional_of=short_lessons.BLOOD_LESSON) for one in short_lessons.BLOOD),
    *(item_of(one, optional_of=short_lessons.CHILDREN_LESSON) for one in short_lessons.CHILDREN),
)
