"""``python -m hangworthy`` is the command ``hangworthy``."""

import sys

from hangworthy.cli import main

if __name__ == "__main__":
    sys.exit(main())
