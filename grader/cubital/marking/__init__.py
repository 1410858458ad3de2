"""What the educator's steps share: a hand-in's notebook put in order again, errors in words."""

import sys

# nbgrader loads jsonschema, and that a grammar of web addresses, which takes as long as all else
# together. No schema of a notebook asks for it, so that jsonschema is loaded without it here.
if "jsonschema" not in sys.modules and "rfc3987_syntax" not in sys.modules:
    sys.modules["rfc3987_syntax"] = None  # type: ignore[assignment]  # as Python marks it missing
    try:
        import jsonschema  # noqa: F401
    finally:
        del sys.modules["rfc3987_syntax"]
