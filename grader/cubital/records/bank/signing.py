"""How the keys of cases and vignettes stand: proposed, or signed by two clinicians."""

from collections.abc import Sequence

from cubital.items import Item
from cubital.tables.signing import signed_keys


def stands(items: Sequence[Item]) -> str:
    """Say how the keys of items stand; empty where there is nothing to sign."""
    keys = list(dict.fromkeys(claim.key for item in items for claim in item.claims()))
    signed = sum(key in signed_keys() for key in keys)
    if len(keys) <= 1:
        return "".join(map(state, keys))
    return f"{signed} of {len(keys)} keys signed"


def state(key: str) -> str:
    """Say whether a case's key is signed, and by whom."""
    signed = signed_keys().get(key)
    if signed is None:
        return "key proposed, not signed"
    return f"key signed by {signed.signer_1} and {signed.signer_2} on {signed.signed_on}"
