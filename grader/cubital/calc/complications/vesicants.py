"""What a drug does outside the vein: by its class, and by the local list of vesicants."""

from collections.abc import Iterable
from typing import NamedTuple

from cubital import tables
from cubital.tables import complications as rows

VESICANT, UNKNOWN = "vesicant", "unknown"
ON_LIST = "On the local list of vesicants: handled as a vesicant."
LIST_OVER_CLASS = (
    "On the local list of vesicants, though its class counts as {tissue}: the local list decides."
)
CLASS_ONLY = (
    "Not on the local list, though its class harms tissue: ask the pharmacist, and handle it as a "
    "vesicant until told otherwise."
)
NOT_LISTED = "Not on the local list."
NOT_KNOWN = "In no list here: ask the pharmacist before it runs."


class LocalDrug(NamedTuple):
    """A drug by its class and by the local list; ``tissue`` is what it is handled as."""

    drug: str
    drug_class: str | None
    class_tissue: str | None
    is_listed: bool
    tissue: str
    words: str


def local_drug(drug: str, *, vesicants: Iterable[str] | None = None) -> LocalDrug:
    """Return what a drug is handled as if it runs outside the vein.

    `tissue = vesicant if listed, else that of its class, else unknown`

    Parameters
    ----------
    drug : str
        An example of `assets/complications/drug-classes.csv`, or a name on the local list [-]
    vesicants : iterable of str, optional
        The local list of vesicants; that of the local profile if not given [-]

    Returns
    -------
    LocalDrug
        Class, whether the list names it, what it is handled as, and a sentence [-]

    Notes
    -----
    Names must be the same but for small and capital letters. The list makes a drug a vesicant
    whatever its class; that a list leaves a drug out does not make it harmless, so its class holds
    until the pharmacist has decided.

    Examples
    --------
    >>> local_drug("noradrenaline").tissue, local_drug("compound sodium lactate").tissue
    ('vesicant', 'none')
    >>> local_drug("amiodarone", vesicants=["Amiodarone"]).tissue
    'vesicant'

    References
    ----------
    common-practice, ong-2020
    """
    name = drug.strip().casefold()
    if not name:
        raise ValueError("drug is empty: it must be a name")
    listed = tables.profile().vesicants if vesicants is None else vesicants
    is_listed = name in {each.strip().casefold() for each in listed}
    row = next(
        (
            row
            for row in rows.drug_classes().values()
            if name in {example.casefold() for example in row.examples}
        ),
        None,
    )
    tissue = VESICANT if is_listed else UNKNOWN if row is None else row.tissue
    return LocalDrug(
        drug=drug,
        drug_class=row and row.key,
        class_tissue=row and row.tissue,
        is_listed=is_listed,
        tissue=tissue,
        words=_words(row, is_listed),
    )


def _words(row: rows.DrugClass | None, is_listed: bool) -> str:
    if is_listed and row is not None and row.tissue != VESICANT:
        tissue = "harmless to tissue" if row.tissue == "none" else row.tissue
        return LIST_OVER_CLASS.format(tissue=tissue)
    if is_listed:
        return ON_LIST
    if row is None:
        return NOT_KNOWN
    return CLASS_ONLY if row.tissue == VESICANT else NOT_LISTED
