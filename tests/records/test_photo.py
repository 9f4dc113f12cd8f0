"""Photos without what they tell, checked against an imaging library."""

from __future__ import annotations

import io
import struct
import zlib
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ExifTags, Image, PngImagePlugin

from pitwright.errors import BadInput, Malformed, OutOfRange
from pitwright.records.photo import JPEG, PNG, Place, stripped, type_of


def picture() -> Image.Image:
    image = Image.new("RGB", (40, 24))
    for x in range(40):
        for y in range(24):
            image.putpixel((x, y), (6 * x, 10 * y, 3 * (x + y)))
    return image


def exif(turning: int = 6) -> Image.Exif:
    tags = Image.Exif()
    tags[ExifTags.Base.Orientation] = turning
    tags[ExifTags.Base.Artist] = "Xanthippe"
    tags.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = "2026:05:04 12:00:01"
    gps = tags.get_ifd(ExifTags.IFD.GPSInfo)
    gps[1], gps[2] = "S", (Fraction(33), Fraction(30), Fraction(36))
    gps[3], gps[4] = "E", (Fraction(10), Fraction(15), Fraction(0))
    return tags


def jpeg(progressive: bool = False) -> bytes:
    out = io.BytesIO()
    picture().save(
        out, "JPEG", exif=exif(), comment=b"Xanthippe was here", quality=90,
        progressive=progressive, icc_profile=b"profile of colours", xmp=b"<x>Xanthippe</x>",
    )  # fmt: skip
    return out.getvalue()


def png() -> bytes:
    out = io.BytesIO()
    info = PngImagePlugin.PngInfo()
    info.add_text("Author", "Xanthippe")
    info.add_itxt("Where", "Xanthippe's garden")
    picture().save(out, "PNG", exif=exif(), pnginfo=info)
    return out.getvalue()


def pixels(data: bytes) -> bytes:
    return Image.open(io.BytesIO(data)).convert("RGB").tobytes()


@pytest.mark.parametrize("progressive", [False, True])
def test_a_jpeg_loses_everything_but_its_picture_its_colours_and_its_turning(
    progressive: bool,
) -> None:
    data = jpeg(progressive) + b"a video behind the picture: Xanthippe"
    assert data.count(b"Xanthippe") >= 3
    photo = stripped(data, JPEG)

    assert b"Xanthippe" not in photo.data and b"2026" not in photo.data
    assert pixels(photo.data) == pixels(data)
    again = Image.open(io.BytesIO(photo.data))
    assert dict(again.getexif()) == {ExifTags.Base.Orientation: 6}
    assert again.info["icc_profile"] == b"profile of colours"
    assert (photo.width, photo.height) == (40, 24)
    assert photo.place == Place("-33.5100000", "10.2500000")
    assert photo.taken == "2026:05:04 12:00:01"
    assert stripped(photo.data, JPEG).data == photo.data


def test_a_png_loses_its_texts() -> None:
    photo = stripped(png() + b"Xanthippe", PNG)

    assert b"Xanthippe" not in photo.data
    assert pixels(photo.data) == pixels(png())
    assert photo.place == Place("-33.5100000", "10.2500000")
    assert (photo.width, photo.height) == (40, 24)


def test_a_photo_that_says_nothing_has_no_place() -> None:
    out = io.BytesIO()
    picture().save(out, "JPEG")
    photo = stripped(out.getvalue(), JPEG)

    assert photo.place is None and photo.taken == ""
    assert photo.data == out.getvalue()


def test_a_picture_that_would_fill_memory_is_refused_before_it_is_decoded() -> None:
    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    chunk = struct.pack(">I", 13) + b"IHDR" + head + struct.pack(">I", zlib.crc32(b"IHDR" + head))
    end = struct.pack(">I", 0) + b"IEND" + struct.pack(">I", zlib.crc32(b"IEND"))
    with pytest.raises(OutOfRange, match="60000 x 60000"):
        stripped(b"\x89PNG\r\n\x1a\n" + chunk + end, PNG)


@given(st.integers(2, 5000), st.sampled_from([JPEG, PNG]))
def test_a_photo_cut_short_is_refused(at: int, media: str) -> None:
    data = jpeg() if media == JPEG else png()
    if at < len(data) - 1:
        with pytest.raises(BadInput):
            stripped(data[:at], media)


@given(st.integers(3, 5000), st.integers(0, 255), st.sampled_from([JPEG, PNG]))
def test_a_damaged_photo_is_refused_or_still_tells_nothing(at: int, byte: int, media: str) -> None:
    data = bytearray(jpeg() if media == JPEG else png())
    data[at % len(data)] = byte
    try:
        photo = stripped(bytes(data), media)
    except BadInput:
        return
    if media == PNG:
        assert photo.data.count(b"Xanthippe") == 0


@pytest.mark.parametrize(
    ("start", "media"),
    [
        (b"\xff\xd8\xff\xe0....", "image/jpeg"),
        (b"\x89PNG\r\n\x1a\n....", "image/png"),
        (b"\0\0\0\x18ftypheic....", "image/heic"),
        (b"%PDF-1.7", "application/pdf"),
        ("reading = \"4 3/8\"\n# café".encode(), "text/plain"),
        (b"<html><script>alert(1)</script>", "text/plain"),
        (("x" * 511 + "é").encode()[:512], "text/plain"),
    ],
)  # fmt: skip
def test_a_file_is_what_its_content_says(start: bytes, media: str) -> None:
    assert type_of(start) == media


@pytest.mark.parametrize("start", [b"MZ\x90\0", b"\x7fELF\x02\x01", b"GIF89a\x01", b"PK\x03\x04"])
def test_other_content_is_refused(start: bytes) -> None:
    with pytest.raises(Malformed, match="is no JPEG"):
        type_of(start)
