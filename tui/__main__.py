"""`python -m tui` is the same as `fallmark`."""

import sys

from .cli import main

if __name__ == "__main__":
    sys.exit(main())
