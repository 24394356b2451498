"""The job folder: every paper of a commission in one zip file, the same bytes for the same papers."""

from __future__ import annotations

import io
import re
import unicodedata
import zipfile
from collections.abc import Iterable

WHEN = (1980, 1, 1, 0, 0, 0)
"""Zip files cannot be older; a fixed time keeps equal folders equal."""
PACKED = (".png", ".jpg", ".jpeg", ".pdf", ".zip")
"""Already small: stored as they are."""
RESERVED = {"con", "prn", "aux", "nul", *(f"{w}{n}" for w in ("com", "lpt") for n in range(1, 10))}
LONGEST = 80


def safe_name(name: str) -> str:
    """A file name that every common system takes: plain letters, figures, space, dot, dash; no path.

    >>> safe_name("../Fotos: Grün.JPG")
    'Fotos- Grun.JPG'
    """
    last = re.split(r"[/\\]", name)[-1]
    stem, dot, end = last.rpartition(".")
    stem, end = (_plain(stem), f".{_plain(end)[:10]}") if dot and _plain(end) else (_plain(last), "")
    if not stem or stem.split(".")[0].lower() in RESERVED:
        stem = f"file {stem}".strip()
    return stem[: LONGEST - len(end)] + end


def _plain(text: str) -> str:
    ascii_only = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Za-z0-9 ._-]+", "-", ascii_only).strip(" .")


def job_folder(ref: str, files: Iterable[tuple[str, bytes]]) -> bytes:
    """A zip file with one folder named ``ref``.

    ``files`` are (name, content); a name may begin with one folder ('photographs/'). Names are made safe and
    unlike one another; entries stand in order of name, with a fixed time, so that the same files give the same bytes.
    """
    taken: set[str] = set()
    named = []
    for name, content in files:
        folder, slash, last = name.partition("/")
        if not slash:
            last = folder
        inside = f"{safe_name(folder)}/" if slash else ""
        safe = unique = f"{inside}{safe_name(last)}"
        n = 2
        while unique.lower() in taken:
            stem, dot, end = safe.rpartition(".")
            unique = f"{stem} {n}{dot}{end}" if dot else f"{safe} {n}"
            n += 1
        taken.add(unique.lower())
        named.append((unique, content))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as box:
        for name, content in sorted(named):
            info = zipfile.ZipInfo(f"{safe_name(ref)}/{name}", WHEN)
            info.external_attr = 0o644 << 16
            info.create_system = 3
            info.compress_type = zipfile.ZIP_STORED if name.lower().endswith(PACKED) else zipfile.ZIP_DEFLATED
            box.writestr(info, content)
    return out.getvalue()
