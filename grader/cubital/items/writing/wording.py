"""How items write gauges and shares."""


def with_article(gauge: int) -> str:
    """Write a gauge as it is spoken: a 20 G, an 18 G."""
    return f"{'an' if gauge == 18 else 'a'} {gauge} G"


def per_cent(ratio: float) -> str:
    """Write a ratio in whole per cent: 45 %."""
    return f"{100 * ratio:.0f} %"


def sentence_case(text: str) -> str:
    """Begin with a capital letter and leave the rest as it is."""
    return text[:1].upper() + text[1:]
