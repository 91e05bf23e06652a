"""`python -m rangelog`."""

import sys

from rangelog.cli import main

if __name__ == "__main__":
    sys.exit(main())
