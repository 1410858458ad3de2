"""``python -m cubital``, and where the installed command begins."""

import sys


def start() -> int:
    """Load and run the command; Ctrl-C during the second that loading takes ends it quietly."""
    try:
        from cubital.cli import main  # noqa: PLC0415 - what takes the second
    except KeyboardInterrupt:
        print("\nStopped. Nothing was begun.")
        return 130  # as `cubital.cli.main`
    return main()


if __name__ == "__main__":
    sys.exit(start())
