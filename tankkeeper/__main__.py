"""Runs the program with `python -m tankkeeper`."""

import sys

from tankkeeper.app.main import main

if __name__ == "__main__":
    sys.exit(main())
