"""What goes wrong on the way in, each as one sentence that says what to do."""

from __future__ import annotations

import errno


class Trouble(Exception):
    """The workbook cannot go on; the text says in one sentence why, and what to do."""


DISK_FULL = "The disk is full: free about 4 GB where the workbook lies and start again."
NO_NETWORK = (
    "The packages could not be fetched because the network could not be reached: connect to it "
    "(only this first start needs it) and start again."
)


def in_words(error: OSError) -> str:
    """What the operating system refused, as a sentence for the maker."""
    where = f" ({error.filename})" if error.filename else ""
    if error.errno in (errno.ENOSPC, errno.EDQUOT) or getattr(error, "winerror", None) in (39, 112):
        return DISK_FULL
    if error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return (
            f"A file of the workbook may not be written{where}: close other windows of the workbook, "
            "or move its folder to where you may write, and start again."
        )
    return f"The computer refused a step: {error.strerror or error}{where}. Mend that and start again."
