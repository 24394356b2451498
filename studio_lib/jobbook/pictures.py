"""Small pictures, so that a page need not carry the full ones."""

from __future__ import annotations

import io

SMALL_PX = 320


def small_jpeg(content: bytes, most_px: int = SMALL_PX) -> bytes:
    """A picture as a JPEG no side of which is over ``most_px``, upright; empty for what cannot be read as one."""
    from PIL import Image, ImageOps

    try:
        with Image.open(io.BytesIO(content)) as picture:
            picture.draft("RGB", (2 * most_px, 2 * most_px))  # a photograph is decoded small, which is fast
            upright = ImageOps.exif_transpose(picture)
            upright.thumbnail((most_px, most_px))
            with_alpha = upright.convert("RGBA")
            flat = Image.new("RGB", upright.size, "white")
            flat.paste(with_alpha, mask=with_alpha.getchannel("A"))
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return b""
    out = io.BytesIO()
    flat.save(out, "JPEG", quality=80)
    return out.getvalue()
