"""Tables on complications: how they look and feel, what runs in, the scales, first actions."""

from cubital import calc, tables
from cubital.calc.complications.findings import ABSENT, key_of, words_of
from cubital.explore.kit.table import LessonTable
from cubital.items.complications.site_judgement import name_of, sign_words
from cubital.tables import complications as rows

FLUID, PICTURE = "fluid", "picture_"
SCALE_NAMES = {
    "infiltration": "infiltration scale",
    "extravasation": "extravasation grades",
    "phlebitis": "phlebitis scale",
    "vip": "visual infusion phlebitis score",
}


def _listed(complication: str, speaks: str, *, hidden: bool | None = None) -> str:
    """The signs that speak for or against a complication; of those, what skin tone can hide."""
    listed = []
    for sign in rows.signs():
        key = key_of(sign.condition)
        if sign.complication != complication or sign.speaks != speaks:
            continue
        if key.startswith((FLUID, PICTURE)) or sign.condition.startswith(ABSENT):
            continue
        if hidden is None or (key in rows.skin().hidden) == hidden:
            listed.append(sign_words(words_of(sign.condition)))
    return "; ".join(listed) or "nothing here"


def look_and_feel_table() -> LessonTable:
    """For each complication what speaks for it, and which of that skin tone can hide."""
    return LessonTable(
        caption="How each looks and feels",
        columns=(
            "Complication",
            "Speaks for it, on any skin",
            "Speaks for it, but skin tone can hide it",
            "Speaks against it",
        ),
        rows=tuple(
            (
                name_of(key),
                _listed(key, "for", hidden=False),
                _listed(key, "for", hidden=True),
                _listed(key, "against"),
            )
            for key in rows.complications()
        ),
        note="Common practice unless the text names a source. No sign here rules anything out.",
    )


def drug_table() -> LessonTable:
    """Classes of drugs by what they do outside the vein, and what the local list names."""

    def named(row: rows.DrugClass) -> str:
        listed = [drug for drug in row.examples if calc.local_drug(drug).is_listed]
        return ", ".join(listed) or "none of these"

    return LessonTable(
        caption="What runs in: classes of drugs, and the local list of vesicants",
        columns=("Class", "Examples", "On the local list", "Harms by", "What differs"),
        rows=tuple(
            (row.words, ", ".join(row.examples), named(row), row.harms_by, row.differs)
            for row in rows.drug_classes().values()
        ),
        note=f"The list is that of {tables.profile().department}, invented for teaching. Your "
        "own list decides.",
    )


def scales_table() -> LessonTable:
    """Each scale with its rows, how the course reads them, and how it stands."""
    return LessonTable(
        caption="Four scales, and how they stand",
        columns=(
            "Scale",
            "Its grades, in the course's words",
            "How the course reads it",
            "How it stands",
        ),
        rows=tuple(
            (
                SCALE_NAMES[key],
                "; ".join(f"{grade.grade}: {grade.words}" for grade in row.grades if grade.grade),
                row.rule,
                row.standing,
            )
            for key, row in rows.scales().items()
        ),
        note="Grade 0 is no sign. Use the scale that local policy names, and name it in the notes.",
    )


def first_actions_table() -> LessonTable:
    """What is usually done first at each complication."""
    return LessonTable(
        caption="What is usually done first; local policy decides",
        columns=("Complication", "First"),
        rows=tuple(
            (name_of(key), " ".join(calc.first_actions(key).steps)) for key in rows.complications()
        ),
        note=rows.caution(),
    )
