"""Photos made safe: decoded, turned upright, made smaller and written anew, without what they carried."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageOps
from PIL.ExifTags import GPS, IFD

from jambwright.basis.problems import BadInput
from jambwright.web.texts import say

LARGEST_UPLOAD = 16_000_000
LARGEST_PIXELS = 60_000_000
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
            with Image.open(io.BytesIO(body), formats=("JPEG", "PNG", "WEBP")) as opened:
                if opened.width * opened.height > LARGEST_PIXELS:
                    raise BadInput.one("photo", say("photo.too_big", n=LARGEST_PIXELS // 1_000_000))
                place = _place(opened) if keep_place else None
                upright = ImageOps.exif_transpose(opened).convert("RGB")
    except BadInput:
        raise
    # a decoder fed with broken bytes raises what it likes; whatever it is, this is no photo
    except Exception:
        raise BadInput.one("photo", say("photo.unreadable")) from None
    upright.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
    out = io.BytesIO()
    upright.save(out, "JPEG", quality=QUALITY, optimize=True)
    return Picture(jpeg=out.getvalue(), width_px=upright.width, height_px=upright.height, place=place)


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
