"""`python -m tests.faults`."""

import sys

from tests.faults.trying import main

if __name__ == "__main__":
    sys.exit(min(main(), 1))
