"""The door: python3 -m workbook. This file alone must read under any old Python."""

import sys

OLDEST = (3, 11)

if sys.version_info < OLDEST:
    sys.exit(
        "The workbook needs Python %d.%d or newer, and this is Python %d.%d: install a newer one "
        "and start again with it." % (OLDEST + tuple(sys.version_info[:2]))
    )

from workbook.launch.start import main  # noqa: E402  (only after the version is known)

if __name__ == "__main__":
    sys.exit(main())
