"""JupyterLab as its own command starts it, but a second sooner; see `cubital.handin.loading`."""

import sys

from cubital.handin.loading import without_formats


def main() -> None:
    """Run JupyterLab's own command with the words that this one was given."""
    without_formats()
    from jupyterlab.labapp import main as start  # noqa: PLC0415 - after what it is to leave out

    start()


if __name__ == "__main__":
    sys.exit(main())
