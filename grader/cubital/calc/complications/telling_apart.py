"""Telling complications apart by findings, and the first actions usually taken."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from cubital.calc.complications.findings import FLUID, checked_findings, is_met, key_of, words_of
from cubital.calc.complications.grading import drug_class_row
from cubital.calc.complications.vesicants import UNKNOWN, local_drug
from cubital.tables import complications as rows

PICTURE = (
    "A near-infrared picture never rules out infiltration or extravasation: clear fluid hardly "
    "shows. Feel, compare with the other limb, and ask."
)
DRUG_UNKNOWN = "What ran in decides between infiltration and extravasation: find out first."
NOT_LOOKED = "Nothing yet speaks for any of them: look again, and soon."


class Candidate(NamedTuple):
    """A complication with what speaks for it, against it, and what says nothing about it."""

    key: str
    words: str
    score: float
    speaks_for: tuple[str, ...]
    speaks_against: tuple[str, ...]
    says_nothing: tuple[str, ...]
    first_actions: tuple[str, ...]


class Assessment(NamedTuple):
    """All complications, likeliest first; none is ever ruled out."""

    candidates: tuple[Candidate, ...]
    remarks: tuple[str, ...]
    caution: str


class LookFor(NamedTuple):
    """Whether skin tone can hide a sign, and the signs to look for instead."""

    can_be_hidden: bool
    instead: tuple[str, ...]
    words: str


class FirstActions(NamedTuple):
    """What is usually done first, where that comes from, and the caution."""

    complication: str
    steps: tuple[str, ...]
    kind: str
    source: str
    caution: str


def tell_apart(
    findings: Mapping[str, Any],
    *,
    drug_class: str | None = None,
    drug: str | None = None,
    skin_hides_colour: bool = False,
) -> Assessment:
    """Return the complications, ranked by the findings that speak for and against each.

    `score = sum of weights for - sum of weights against`

    Parameters
    ----------
    findings : mapping of str to bool, str or float
        What was looked for and found or not, by `assets/complications/findings.toml` [-]
    drug_class : str, optional
        What ran in, by `assets/complications/drug-classes.csv`; unknown if not given [-]
    drug : str, optional
        Its name instead: the local list of vesicants then decides (`local_drug`) [-]
    skin_hides_colour : bool, optional
        Whether skin tone can hide redness and blanching here [-]

    Returns
    -------
    Assessment
        Candidates in order with their findings and first actions, remarks and caution [-]

    Notes
    -----
    Lengths 0 to 1000 mm. The weights are a teaching assumption and the score is no probability:
    it orders what to think of. Two can be there at once. Nothing seen on a picture counts against
    infiltration or extravasation; where skin tone hides colour, missing colour counts against
    nothing.

    Examples
    --------
    >>> found = tell_apart({"cool": True, "swelling": "mild"}, drug_class="plain")
    >>> found.candidates[0].key, found.candidates[0].speaks_for[:2]
    ('infiltration', ('swelling', 'cool skin'))

    References
    ----------
    common-practice, extravasation-table, newman-2001, course
    """
    found = checked_findings(findings)
    if drug_class is not None:
        found[FLUID] = drug_class_row(drug_class).tissue
    if drug is not None:
        found[FLUID] = local_drug(drug).tissue
    hidden = rows.skin().hidden if skin_hides_colour else ()
    seen = {key: value for key, value in found.items() if value or key not in hidden}
    candidates = [_candidate(row, seen) for row in rows.complications().values()]
    candidates.sort(key=lambda row: -row.score)  # a stable sort: equals keep the table's order
    remarks = [PICTURE]
    if found.get(FLUID, UNKNOWN) == UNKNOWN:
        remarks.append(DRUG_UNKNOWN)
    if skin_hides_colour:
        remarks.append(rows.skin().words)
    if not any(row.speaks_for for row in candidates):
        remarks.append(NOT_LOOKED)
    return Assessment(tuple(candidates), tuple(remarks), rows.caution())


def _candidate(row: rows.Complication, found: Mapping[str, Any]) -> Candidate:
    met = [
        sign
        for sign in rows.signs()
        if sign.complication == row.key and is_met(sign.condition, found)
    ]
    parts = {
        speaks: tuple(words_of(sign.condition) for sign in met if sign.speaks == speaks)
        for speaks in ("for", "against", "neither")
    }
    side = {"for": 1, "against": -1, "neither": 0}
    score = float(sum(side[sign.speaks] * sign.weight for sign in met))
    return Candidate(
        row.key, row.words, score, parts["for"], parts["against"], parts["neither"], row.first
    )


def look_for_instead(finding: str) -> LookFor:
    """Return whether skin tone can hide a sign, and what to look for instead.

    `hidden = finding in {redness, blanching, streak, bruise}`

    Parameters
    ----------
    finding : str
        Name in `assets/complications/findings.toml` [-]

    Returns
    -------
    LookFor
        Whether it can be hidden, signs to look for, and a sentence [-]

    Notes
    -----
    Common practice. A sign that cannot be seen has not been found absent; a scale that needs it
    grades too low.

    Examples
    --------
    >>> found = look_for_instead("redness")
    >>> found.can_be_hidden, found.instead[:3]
    (True, ('warm skin', 'cool skin', 'firm, hardened tissue'))

    References
    ----------
    common-practice, extravasation-lesson
    """
    known = rows.findings()
    if finding not in known:
        raise ValueError(f"no finding is called {finding!r}: choose one of {', '.join(known)}")
    skin = rows.skin()
    if finding not in skin.hidden:
        return LookFor(False, (), "")
    return LookFor(True, tuple(known[key].words for key in skin.instead), skin.words)


def first_actions(complication: str, *, grade: int | None = None) -> FirstActions:
    """Return what is usually done first at a complication.

    `steps = by complication, and by grade where the source gives grades`

    Parameters
    ----------
    complication : str
        Name in `assets/complications/findings.toml` [-]
    grade : int, optional
        Grade of an extravasation, 1 to 4 [-]

    Returns
    -------
    FirstActions
        Steps in order, their kind and source, and the caution [-]

    Notes
    -----
    Common practice, from memory, in the course's words, but for the steps by grade, which are those
    of a printed table; policies differ, above all in whether the catheter stays in after an
    extravasation. The protocol of the drug comes first.

    Examples
    --------
    >>> first_actions("nerve_contact").steps[0]
    'Tourniquet off and needle out at once; do not probe or redirect.'

    References
    ----------
    common-practice, extravasation-table
    """
    known = rows.complications()
    if complication not in known:
        raise ValueError(f"complication is {complication!r}: it must be one of {', '.join(known)}")
    row = known[complication]
    steps, kind, source = row.first, row.kind, row.source
    if grade is not None:
        if grade not in row.by_grade:
            listed = ", ".join(map(str, row.by_grade)) or "none"
            raise ValueError(
                f"grade is {grade!r}: the first actions for {complication} are by grade {listed}"
            )
        steps, kind, source = row.by_grade[grade], row.by_grade_kind, row.by_grade_source
    return FirstActions(row.words, steps, kind, source, rows.caution())


def signs_of(finding: str) -> dict[str, str]:
    """Return for which complications a finding speaks, and against which.

    `finding -> {complication: for, against or neither}`, so that `speaks = table(finding)`

    Parameters
    ----------
    finding : str
        Name in `assets/complications/findings.toml` [-]

    Returns
    -------
    dict
        What the finding says, by complication [-]

    Notes
    -----
    For a finding that is there; what its absence says is left out.

    Examples
    --------
    >>> signs_of("cool")["phlebitis"]
    'against'

    References
    ----------
    common-practice
    """
    known = rows.findings()
    if finding not in known:
        raise ValueError(f"no finding is called {finding!r}: choose one of {', '.join(known)}")
    return {
        sign.complication: sign.speaks
        for sign in rows.signs()
        if not sign.condition.startswith("no ") and key_of(sign.condition) == finding
    }
