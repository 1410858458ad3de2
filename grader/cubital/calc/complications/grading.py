"""Published scales of infiltration, extravasation and phlebitis, as functions of findings."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from cubital.calc.complications.findings import checked_findings, is_met, key_of, words_of
from cubital.calc.complications.vesicants import local_drug
from cubital.tables import complications as rows


class Grade(NamedTuple):
    """A grade, what it rests on, and how its scale stands.

    ``because`` are the signs that make the grade; ``not_placed`` are signs that the scale lists
    only in higher rows whose other signs are missing, and ``by_rule_only`` those of them that count
    here all the same, by a rule of the course. ``up_to`` is the highest grade that is not ruled
    out: above ``grade`` only where skin tone hides what the higher row needs.
    """

    scale: str
    grade: int
    highest: int
    words: str
    because: tuple[str, ...]
    not_placed: tuple[str, ...]
    by_rule_only: tuple[str, ...]
    up_to: int
    by_own_rule: bool
    rule: str
    standing: str
    remarks: tuple[str, ...]
    caution: str


def _all_met(groups: tuple[tuple[str, ...], ...], found: Mapping[str, Any]) -> bool:
    """Whether there are groups of conditions, and one of each is met."""
    met = (any(is_met(condition, found) for condition in group) for group in groups)
    return bool(groups) and all(met)


def _conditions(row: rows.GradeRow) -> set[str]:
    return {condition for group in row.needs for condition in group}


def _grade(
    key: str, findings: Mapping[str, Any], *, skin_hides_colour: bool, fluid: str | None = None
) -> Grade:
    scale = rows.scales()[key]
    found = checked_findings(findings)
    by_row = {row.grade: _all_met(row.needs, found) for row in scale.grades}
    by_rule = {
        row.grade: any(is_met(condition, found) for condition in row.or_any) for row in scale.grades
    }
    reached = [grade for grade in by_row if by_row[grade] or by_rule[grade]]
    top = max(reached, default=0)
    remarks: list[str] = []
    because = ()
    own = top > 0 and not by_row[top]
    if top > 0:
        row = scale.grades[top]
        listed = (*(part for group in row.needs for part in group), *row.or_any)
        because = tuple(dict.fromkeys(words_of(part) for part in listed if is_met(part, found)))
    if top > 0 and fluid in scale.any_amount_of and scale.any_amount_grade is not None:
        top, own = scale.any_amount_grade, False
        because = (*because, f"any amount of: {fluid}")
    skin = rows.skin()
    unseen = skin_hides_colour and not any(found.get(name) for name in skin.hidden)
    left_open = [
        row for row in scale.grades[top + 1 :] if unseen and _all_met(row.if_colour_hidden, found)
    ]
    up_to = max([top, *(row.grade for row in left_open)])
    if left_open:
        remarks.append(
            f"{top} to {up_to}: what grade {up_to} needs cannot be seen on this skin, so it "
            "cannot be graded lower; have it looked at now"
        )
    placed = set().union(
        *(_conditions(row) for row in scale.grades[: top + 1]),
        *(group for row in left_open for group in row.if_colour_hidden),
    )
    higher = [part for row in scale.grades[top + 1 :] for group in row.needs for part in group]
    waiting = tuple(
        dict.fromkeys(
            words_of(part) for part in higher if part not in placed and is_met(part, found)
        )
    )
    if waiting:
        remarks.append(
            f"listed only in a higher row whose other signs are missing: {', '.join(waiting)}; "
            "have it looked at"
        )
    if unseen:
        used = {key_of(part) for row in scale.grades for part in (*_conditions(row), *row.or_any)}
        if used & set(skin.hidden):
            remarks.append(f"{skin.words} The grade may be too low.")
    return Grade(
        scale=scale.words,
        grade=top,
        highest=scale.grades[-1].grade,
        words=scale.grades[top].words,
        because=because,
        not_placed=tuple(words for words in waiting if words not in because),
        by_rule_only=tuple(words for words in waiting if words in because),
        up_to=up_to,
        by_own_rule=own,
        rule=scale.rule,
        standing=scale.standing,
        remarks=tuple(remarks),
        caution=rows.caution(),
    )


def infiltration_grade(
    findings: Mapping[str, Any],
    *,
    drug_class: str = "plain",
    drug: str | None = None,
    skin_hides_colour: bool = False,
) -> Grade:
    """Return the grade on the older infiltration scale of 0 to 4.

    `grade = highest row any of whose signs is there; 4 for any amount of what harms tissue`

    Parameters
    ----------
    findings : mapping of str to bool, str or float
        What was found, by the names of `assets/complications/findings.toml`; lengths in mm [-]
    drug_class : str, optional
        What ran in, by the names of `assets/complications/drug-classes.csv` [-]
    drug : str, optional
        Its name instead: the local list of vesicants then decides (`local_drug`) [-]
    skin_hides_colour : bool, optional
        Whether skin tone can hide redness and blanching here [-]

    Returns
    -------
    Grade
        Grade, what it rests on, the scale's rule, standing and remarks [-]

    Notes
    -----
    Oedema 0 to 1000 mm. The scale was taken out of the infusion nursing standards in 2011 and lives
    on in policies: not a current standard. Its rows are from memory. 25 mm is small on an adult's
    arm and large on a newborn's.

    Examples
    --------
    >>> infiltration_grade({"oedema_mm": 40, "cool": True}).grade
    2
    >>> infiltration_grade({"oedema_mm": 10}, drug_class="binding").grade
    4

    References
    ----------
    ins-2006, infiltration-scale-note
    """
    fluid = drug_class_row(drug_class).tissue if drug is None else local_drug(drug).tissue
    return _grade("infiltration", findings, skin_hides_colour=skin_hides_colour, fluid=fluid)


def extravasation_grade(findings: Mapping[str, Any], *, skin_hides_colour: bool = False) -> Grade:
    """Return the grade of an extravasation, 1 to 4.

    `grade = highest row whose pattern is there; at least 1 with any sign`

    Parameters
    ----------
    findings : mapping of str to bool, str or float
        What was found, by the names of `assets/complications/findings.toml`; lengths in mm [-]
    skin_hides_colour : bool, optional
        Whether skin tone can hide redness and blanching here [-]

    Returns
    -------
    Grade
        Grade, what it rests on, the scale's rule, standing and remarks [-]

    Notes
    -----
    Oedema 0 to 1000 mm. Cool skin counts for row 4 only together with marked swelling and
    blanching, reduced refill or less circulation, as the table lists it. How much of a row must be
    there is the course's own reading (`rule`), since the table does not say. Harm can show after
    days: a low grade today promises nothing, and the drug counts more than the grade.

    Examples
    --------
    >>> extravasation_grade({"pain": "slight", "swelling": "mild"}).grade
    2

    References
    ----------
    extravasation-table
    """
    return _grade("extravasation", findings, skin_hides_colour=skin_hides_colour)


def phlebitis_grade(findings: Mapping[str, Any], *, skin_hides_colour: bool = False) -> Grade:
    """Return the grade on the phlebitis scale of 0 to 4 of the infusion nursing standards.

    `grade = highest row all of whose signs are there; at least 1 with any sign`

    Parameters
    ----------
    findings : mapping of str to bool, str or float
        What was found, by the names of `assets/complications/findings.toml`; lengths in mm [-]
    skin_hides_colour : bool, optional
        Whether skin tone can hide redness here [-]

    Returns
    -------
    Grade
        Grade, what it rests on, the scale's rule, standing and remarks [-]

    Notes
    -----
    Oedema 0 to 1000 mm, cord 0 to 500 mm. The scale needs redness or oedema for most rows. Signs
    that no row places stand under ``not_placed``.

    Examples
    --------
    >>> phlebitis_grade({"pain": "slight", "redness": "clear"}).grade
    2

    References
    ----------
    ins-2011, ray-barruel-2014
    """
    return _grade("phlebitis", findings, skin_hides_colour=skin_hides_colour)


def visual_phlebitis_score(
    findings: Mapping[str, Any], *, skin_hides_colour: bool = False
) -> Grade:
    """Return the visual infusion phlebitis score, 0 to 5.

    `score = highest row all of whose signs are there; at least 1 with any sign`

    Parameters
    ----------
    findings : mapping of str to bool, str or float
        What was found, by the names of `assets/complications/findings.toml`; lengths in mm [-]
    skin_hides_colour : bool, optional
        Whether skin tone can hide redness here [-]

    Returns
    -------
    Grade
        Score, what it rests on, the scale's rule, standing and remarks [-]

    Notes
    -----
    Oedema 0 to 1000 mm, cord 0 to 500 mm. Swelling alone is in no row: the course counts it as 1.
    Printed cards differ in rows 2 and 3. Usual rule: from 2 the catheter is resited.

    Examples
    --------
    >>> visual_phlebitis_score({"swelling": "mild"}).grade
    1

    References
    ----------
    vip-cards, gallant-2006
    """
    return _grade("vip", findings, skin_hides_colour=skin_hides_colour)


def drug_class_row(drug_class: str) -> rows.DrugClass:
    """Return a class of drugs by what it does outside the vein.

    `tissue = none, irritant, vesicant or blood`

    Parameters
    ----------
    drug_class : str
        Name in `assets/complications/drug-classes.csv` [-]

    Returns
    -------
    DrugClass
        Words, examples, how it harms and what differs in the first actions [-]

    Notes
    -----
    From memory and one review of drugs other than chemotherapy. Lists differ; the local list of
    vesicants decides what a drug is.

    Examples
    --------
    >>> drug_class_row("vasopressor").tissue
    'vesicant'

    References
    ----------
    common-practice, ong-2020
    """
    known = rows.drug_classes()
    if drug_class not in known:
        raise ValueError(f"drug_class is {drug_class!r}: it must be one of {', '.join(known)}")
    return known[drug_class]
