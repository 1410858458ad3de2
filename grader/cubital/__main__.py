"""``python -m cubital``, and where the installed command begins."""

import gc
import sys

# After how many new objects Python looks for circles of them that nobody has any more. By its own
# number it does so a hundred times while a command loads, and finds nothing.
_COLLECT_AFTER = 500_000


def start() -> int:
    """Load and run the command; Ctrl-C during the second that loading takes ends it quietly."""
    gc.set_threshold(_COLLECT_AFTER)
    try:
        from cubital.cli import main  # noqa: PLC0415 - what takes the second
    except KeyboardInterrupt:
        print("\nStopped. Nothing was begun.")
        return 130  # as `cubital.cli.main`
    try:
        return main()
    finally:  # else Python looks through all that was loaded for circles once more as it ends
        gc.freeze()


if __name__ == "__main__":
    sys.exit(start())
