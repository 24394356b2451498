"""A revision's document as few bytes: whole, or as what differs from an earlier whole one.

Both are raw deflate (RFC 1951) as in Python's ``zlib``; a difference takes the earlier text as
its preset dictionary, so ``zlib.decompressobj(-15, zdict=earlier)`` is all that reads it.
"""

from __future__ import annotations

import zlib

WORTH = 2
"""A difference is kept only when it is this many times smaller than the whole."""
RAW, WINDOW = -15, 32_768


def pack(text: bytes, earlier: bytes = b"") -> bytes:
    """Deflated text; with ``earlier``, only what differs from it (as far as its last 32 kB show)."""
    if earlier:
        packer = zlib.compressobj(9, zlib.DEFLATED, RAW, 9, zlib.Z_DEFAULT_STRATEGY, earlier[-WINDOW:])
    else:
        packer = zlib.compressobj(6, zlib.DEFLATED, RAW)
    return packer.compress(text) + packer.flush()


def unpack(packed: bytes, earlier: bytes = b"") -> bytes:
    """The text again. Raises ValueError where the bytes are damaged."""
    opener = zlib.decompressobj(RAW, zdict=earlier[-WINDOW:]) if earlier else zlib.decompressobj(RAW)
    try:
        text = opener.decompress(packed) + opener.flush()
    except zlib.error as error:
        raise ValueError(f"the packed text is damaged ({error})") from error
    if not opener.eof:
        raise ValueError("the packed text is cut off")
    return text


def packed_on(text: bytes, whole: bytes, whole_number: int | None) -> tuple[bytes, int | None]:
    """The smaller way to keep a text: (bytes, number of the revision it is packed on, or None when whole)."""
    alone = pack(text)
    if whole_number is None:
        return alone, None
    differs = pack(text, whole)
    return (differs, whole_number) if WORTH * len(differs) < len(alone) else (alone, None)
