"""Words of the machine beneath, which nobody should meet who reads a page of the course."""

import re

# The body has cells too, and so has a journal; the name of a file may end in .json.
OF_THE_BODY = re.compile(
    r"\b(?:(?:[Rr]ed|[Ww]hite|[Bb]lood) cells?|Pigment Cell|"
    r"(?:taken up by|harm to|water out of) cells)\b"
)
OF_THE_MACHINE = re.compile(
    r"\b(?:kernels?|cells?|notebooks?|tracebacks?|widgets?)\b|(?<![.\w-])json\b", re.IGNORECASE
)


def machine_words(text):
    """Return each word of the machine in a text, with what stands around it."""
    rest = OF_THE_BODY.sub("…", text)
    return [rest[max(0, m.start() - 40) : m.end() + 20] for m in OF_THE_MACHINE.finditer(rest)]
