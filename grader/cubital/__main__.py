"""``python -m cubital``."""

import sys

from cubital.cli import main

if __name__ == "__main__":
    sys.exit(main())
