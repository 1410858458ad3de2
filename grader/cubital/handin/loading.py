"""What a library loads by the way and nobody asks for, left out so that commands start sooner."""

import sys

_FORMATS = ("rfc3987_syntax", "rfc3986_validator", "isoduration", "webcolors")


def without_formats() -> None:
    """Load jsonschema without the libraries for formats that a schema may ask for.

    One of them, a grammar of web addresses, takes as long to load as all else together. No schema
    of a notebook has such a format.
    """
    if "jsonschema" in sys.modules:
        return
    left_out = [name for name in _FORMATS if name not in sys.modules]
    for name in left_out:
        sys.modules[name] = None  # type: ignore[assignment]  # as Python marks it missing
    try:
        import jsonschema  # noqa: F401, PLC0415
    finally:
        for name in left_out:
            del sys.modules[name]
