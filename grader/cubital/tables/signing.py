"""Which keys two clinicians have signed; every other is proposed."""

import functools
from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from cubital.tables.files import csv_rows

_FILE = "signed-keys.csv"


class Signed(NamedTuple):
    """A case whose key two clinicians have signed, by name, on a day such as 2026-05-04."""

    key: str
    signer_1: str
    signer_2: str
    signed_on: str


@functools.cache
def signed_keys() -> Mapping[str, Signed]:
    """Return the signed keys by the case's key."""
    return checked(csv_rows(_FILE, Signed))


def checked(rows: tuple[Signed, ...]) -> Mapping[str, Signed]:
    """Return the rows by key.

    Raises
    ------
    ValueError
        A case is signed twice, by fewer than two people, or on no day; the text names it.
    """
    found: dict[str, Signed] = {}
    for row in rows:
        one, other = row.signer_1.strip(), row.signer_2.strip()
        if row.key in found:
            raise ValueError(f"{_FILE}: “{row.key}” stands there twice")
        if not one or not other or one.casefold() == other.casefold():
            raise ValueError(f"{_FILE}: “{row.key}” needs two signers who are not the same")
        try:
            date.fromisoformat(row.signed_on)
        except ValueError:
            raise ValueError(
                f"{_FILE}: “{row.key}” was signed on “{row.signed_on}”: write the day as 2026-05-04"
            ) from None
        found[row.key] = row
    return found
