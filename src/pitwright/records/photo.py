"""What a file is, by its content; and a photo without what it says of place, time and person.

Pictures are never decoded here: their segments are walked, the ones that carry metadata are left
out, and the size in pixels is read from the header before anything else would decode it.
JPEG markers as in ITU-T T.81, EXIF fields as in the Exif and TIFF standards, PNG chunks as in the
PNG specification (all from memory, checked against another library in the tests).
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from pitwright.errors import Malformed, OutOfRange

__all__ = ["MOST_PIXELS", "Photo", "Place", "stripped", "type_of"]

MOST_PIXELS = 120_000_000
"""Width times height. A picture that would fill memory when it is decoded is refused. [-]"""

JPEG, PNG, HEIC, PDF, TEXT = (
    "image/jpeg",
    "image/png",
    "image/heic",
    "application/pdf",
    "text/plain",
)
_PNG_SIGN = b"\x89PNG\r\n\x1a\n"
_HEIC_BRANDS = {b"heic", b"heix", b"hevc", b"mif1", b"msf1", b"heim", b"heis"}
_PNG_DROPPED = {b"eXIf", b"tEXt", b"zTXt", b"iTXt", b"tIME"}
_SOI, _EOI, _SOS, _APP0, _APP1, _APP2, _COM = 0xD8, 0xD9, 0xDA, 0xE0, 0xE1, 0xE2, 0xFE
_SIZES = {0xC0, 0xC1, 0xC2, 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF}


@dataclass(frozen=True, slots=True)
class Place:
    """Where a photo says it was taken, as decimal degrees in text (seven decimals)."""

    latitude: str
    longitude: str


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture as it is kept, and what was offered to its entry before it was taken off.

    ``taken`` is the camera's own clock, without a zone, as it wrote it.
    """

    data: bytes
    width: int
    height: int
    place: Place | None
    taken: str


def type_of(start: bytes) -> str:
    """The media type of content that starts so; Malformed when it is none that is kept.

    At least the first 512 bytes, or all.
    """
    if start.startswith(b"\xff\xd8\xff"):
        return JPEG
    if start.startswith(_PNG_SIGN):
        return PNG
    if start[4:8] == b"ftyp" and start[8:12] in _HEIC_BRANDS:
        return HEIC
    if start.startswith(b"%PDF-"):
        return PDF
    if _is_text(start):
        return TEXT
    raise Malformed(
        "file", start[:8], "is no JPEG, PNG, HEIC, PDF or text", "save it as one of these"
    )


def _is_text(start: bytes) -> bool:
    try:
        text = start.decode("utf-8")
    except UnicodeDecodeError as broken:
        if len(start) < 512 or broken.start < len(start) - 3:
            return False
        text = start[: broken.start].decode("utf-8")
    return not any(ord(c) < 32 and c not in "\t\n\r\f" for c in text)


def stripped(data: bytes, media: str) -> Photo:
    """The picture without EXIF, comments and what hides behind its end; JPEG keeps its turning.

    Raises Malformed when it is cut short or damaged, OutOfRange when it has too many pixels.
    """
    try:
        photo = _jpeg(data) if media == JPEG else _png(data)
    except (struct.error, IndexError, ValueError) as broken:
        if isinstance(broken, Malformed | OutOfRange):
            raise
        raise Malformed("photo", len(data), "is cut short or damaged", "save it again") from broken
    if not photo.width or not photo.height:
        raise Malformed("photo", (photo.width, photo.height), "says no size", "save it again")
    if photo.width * photo.height > MOST_PIXELS:
        raise OutOfRange(
            "photo pixels", f"{photo.width} x {photo.height}", 1, MOST_PIXELS, "save a smaller copy"
        )
    return photo


def _segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """(marker, whole segment with its marker) of a JPEG, scan data with its SOS, up to EOI."""
    at = 2
    while True:
        if data[at] != 0xFF:
            raise Malformed("photo", at, "has no marker where one must be", "save it again")
        while data[at + 1] == 0xFF:
            at += 1
        marker = data[at + 1]
        if marker == _EOI:
            return
        size: int = struct.unpack_from(">H", data, at + 2)[0]
        end = at + 2 + size
        if size < 2 or end > len(data):
            raise Malformed("photo", at, "has a segment beyond its end", "save it again")
        if marker == _SOS:
            end = _scan_end(data, end)
        yield marker, data[at:end]
        at = end


def _scan_end(data: bytes, at: int) -> int:
    """Where the entropy-coded data ends: a marker that is neither stuffing nor a restart."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0 or at + 1 >= len(data):
            raise Malformed("photo", len(data), "is cut short", "copy it again")
        after = data[at + 1]
        if after == 0xFF:
            at += 1
        elif after == 0 or 0xD0 <= after <= 0xD7:
            at += 2
        else:
            return at


def _jpeg(data: bytes) -> Photo:
    kept = [b"\xff\xd8"]
    width = height = 0
    tags = _Tags()
    for marker, segment in _segments(data):
        if marker in _SIZES:
            height, width = struct.unpack_from(">HH", segment, 5)
        if marker == _APP1 and segment[4:10] == b"Exif\0\0":
            tags = _exif(segment[10:])
        if (
            marker in (_APP0, 0xEE)
            or segment[4:16] == b"ICC_PROFILE\0"
            or (not 0xE0 <= marker <= 0xEF and marker != _COM)
        ):
            kept.append(segment)
    if tags.turning > 1:
        kept.insert(1, _turning(tags.turning))
    return Photo(b"".join(kept) + b"\xff\xd9", width, height, tags.place, tags.taken)


def _turning(value: int) -> bytes:
    """An EXIF segment that says which way is up, and nothing else."""
    tiff = b"II*\0" + struct.pack("<IHHHIHHI", 8, 1, 0x0112, 3, 1, value, 0, 0)
    return b"\xff\xe1" + struct.pack(">H", len(tiff) + 8) + b"Exif\0\0" + tiff


@dataclass(frozen=True, slots=True)
class _Tags:
    turning: int = 1
    taken: str = ""
    place: Place | None = None


def _exif(tiff: bytes) -> _Tags:
    """What the EXIF block says of turning, time and place; whatever is damaged is left out."""
    try:
        order = {b"II": "<", b"MM": ">"}[tiff[:2]]
        first = _directory(tiff, order, struct.unpack_from(order + "I", tiff, 4)[0])
        detail = _directory(tiff, order, _number(first.get(0x8769)))
        gps = _directory(tiff, order, _number(first.get(0x8825)))
    except (KeyError, struct.error, IndexError):
        return _Tags()
    turning = _number(first.get(0x0112)) or 1
    taken = detail.get(0x9003) or first.get(0x0132) or ""
    return _Tags(
        turning if 1 <= turning <= 8 else 1, taken if isinstance(taken, str) else "", _place(gps)
    )


def _number(value: object) -> int:
    return value if isinstance(value, int) else 0


_TIFF_SIZE = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1, 10: 8}


def _directory(tiff: bytes, order: str, at: int) -> dict[int, object]:
    """Tag and value: a number, a text, or a tuple of fractions."""
    if not at:
        return {}
    found: dict[int, object] = {}
    (count,) = struct.unpack_from(order + "H", tiff, at)
    for k in range(min(count, 200)):
        tag, kind, many = struct.unpack_from(order + "HHI", tiff, at + 2 + 12 * k)
        size = _TIFF_SIZE.get(kind, 0) * many
        if not size or size > 4096:
            continue
        where = at + 10 + 12 * k
        if size > 4:
            (where,) = struct.unpack_from(order + "I", tiff, where)
        found[tag] = _tiff_value(tiff, order, kind, many, where)
    return found


def _tiff_value(tiff: bytes, order: str, kind: int, many: int, at: int) -> object:
    if kind == 2:
        return tiff[at : at + many].split(b"\0")[0].decode("ascii", "ignore").strip()
    if kind in (5, 10):
        sign = "I" if kind == 5 else "i"
        parts = struct.unpack_from(f"{order}{2 * many}{sign}", tiff, at)
        pairs = zip(parts[::2], parts[1::2], strict=True)
        return tuple(Fraction(a, b) if b else Fraction(0) for a, b in pairs)
    if kind in (3, 4) and many == 1:
        return struct.unpack_from(order + ("H" if kind == 3 else "I"), tiff, at)[0]
    return None


def _place(gps: dict[int, object]) -> Place | None:
    latitude = _degrees(gps.get(2), gps.get(1), 90)
    longitude = _degrees(gps.get(4), gps.get(3), 180)
    return Place(latitude, longitude) if latitude and longitude else None


def _degrees(parts: object, side: object, most: int) -> str:
    if not isinstance(parts, tuple) or len(parts) != 3 or not isinstance(side, str):
        return ""
    degrees = parts[0] + parts[1] / 60 + parts[2] / 3600
    if degrees > most or side[:1] not in ("N", "S", "E", "W"):
        return ""
    return f"{float(-degrees if side[:1] in 'SW' else degrees):.7f}"


def _png(data: bytes) -> Photo:
    kept, at, width, height = [_PNG_SIGN], 8, 0, 0
    tags = _Tags()
    while True:
        (size,) = struct.unpack_from(">I", data, at)
        name, end = data[at + 4 : at + 8], at + 12 + size
        if end > len(data):
            raise Malformed("photo", len(data), "is cut short", "copy it again")
        inside = data[at + 8 : end - 4]
        if zlib.crc32(name + inside) != struct.unpack_from(">I", data, end - 4)[0]:
            raise Malformed("photo", name, "has a damaged chunk", "copy it again")
        if name == b"IHDR":
            width, height = struct.unpack_from(">II", inside)
        if name == b"eXIf":
            tags = _exif(inside)
        if name not in _PNG_DROPPED:
            kept.append(data[at:end])
        if name == b"IEND":
            return Photo(b"".join(kept), width, height, tags.place, tags.taken)
        at = end
