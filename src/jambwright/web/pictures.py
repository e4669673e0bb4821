"""Photos made safe: decoded, turned upright, made smaller and written anew, without what they carried."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageOps
from PIL.ExifTags import GPS, IFD, Base

from jambwright.basis.problems import BadInput
from jambwright.web.texts import say

LARGEST_UPLOAD = 16_000_000
LARGEST_PIXELS = {"JPEG": 60_000_000, "PNG": 60_000_000, "WEBP": 30_000_000}
"""By kind: a WebP is unpacked into twice the memory of the others."""
LONGEST_SIDE_PX = 2048
QUALITY = 82


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A photo fit to keep."""

    jpeg: bytes
    width_px: int
    height_px: int
    place: tuple[float, float] | None
    """Latitude and longitude where the camera wrote them and they were asked for."""


def make_safe(body: bytes, *, keep_place: bool = False) -> Picture:
    """Re-encode an uploaded photo. Raises ``BadInput`` when it is none or too big."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(body), formats=tuple(LARGEST_PIXELS)) as opened:
                most = LARGEST_PIXELS[opened.format or "JPEG"]
                if opened.width * opened.height > most:
                    raise BadInput.one("photo", say("photo.too_big", n=most // 1_000_000))
                place = _place(opened) if keep_place else None
                picture = _small(opened)
    except (BadInput, MemoryError):
        raise
    # a decoder fed with broken bytes raises what it likes; whatever it is, this is no photo
    except Exception:
        raise BadInput.one("photo", say("photo.unreadable")) from None
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Picture(jpeg=out.getvalue(), width_px=picture.width, height_px=picture.height, place=place)


def _small(opened: Image.Image) -> Image.Image:
    """Made smaller before it is turned, and a JPEG while it is unpacked: a large one is held once, not three times."""
    turned = opened.getexif().get(Base.Orientation)
    opened.draft("RGB", (LONGEST_SIDE_PX, LONGEST_SIDE_PX))
    small = opened if opened.mode == "RGB" else opened.convert("RGB")
    small.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
    small.getexif()[Base.Orientation] = turned or 1
    return ImageOps.exif_transpose(small)


def _place(picture: Image.Image) -> tuple[float, float] | None:
    found = picture.getexif().get_ifd(IFD.GPSInfo)
    try:
        north = _degrees(found[GPS.GPSLatitude], found[GPS.GPSLatitudeRef] == "S")
        east = _degrees(found[GPS.GPSLongitude], found[GPS.GPSLongitudeRef] == "W")
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return None
    return north, east


def _degrees(parts: tuple[float, float, float], other_way: bool) -> float:
    degrees = float(parts[0]) + float(parts[1]) / 60 + float(parts[2]) / 3600
    return round(-degrees if other_way else degrees, 5)
