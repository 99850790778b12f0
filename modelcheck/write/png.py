"""Pictures in up to 16 colours as PNG, in parts, so that what comes out alike is made once.

References: PNG (ISO/IEC 15948): 5.3 (chunks), 7.2 (lines of pixels), 9 (filters); RFC 1950 (zlib).
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass
from struct import pack

from PIL import Image

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_BITS, _INDEXED = 4, 3  # of a pixel; colours by their place in a palette
_IN_A_BYTE, _BEFORE = 2, 2  # pixels; those that stand for the filter of a line
_MEMORY = 6  # of the packer: smaller tables, begun sooner
_CHECKED = 4  # bytes of the sum that ends what is packed


@dataclass(frozen=True, slots=True, kw_only=True)
class Upper:
    """The upper part of a picture, packed."""

    width: int
    height: int
    packed: bytes
    adler: int  # checksum of its lines


def upper_of(image: Image.Image) -> Upper:
    """Pack the upper part of a picture.

    Parameters
    ----------
    image : Image
        Its pixels are places in a palette.
    """
    lines = lines_of(image)
    packer = _packer(zlib.MAX_WBITS)
    packed = packer.compress(lines) + packer.flush(zlib.Z_SYNC_FLUSH)
    return Upper(width=image.width, height=image.height, packed=packed, adler=zlib.adler32(lines))


def lines_of(image: Image.Image) -> bytes:
    """Lines of pixels, each after the 0 that says that it isn't filtered: two pixels more.

    Parameters
    ----------
    image : Image
        Its pixels are places in a palette.
    """
    indexed = image.crop((-_BEFORE, 0, image.width, image.height))
    indexed.putpalette(b"\0\0\0")  # makes its pixels places, of which two fit into a byte
    return indexed.tobytes("raw", "P;4")


def png_of(upper: Upper, lower: bytes, palette: bytes) -> bytes:
    """Text of a PNG file of two parts.

    Parameters
    ----------
    upper : Upper
    lower : bytes
        Lines of pixels, as many as there are to be below.
    palette : bytes
        Red, green and blue of each colour.
    """
    height = upper.height + len(lower) // ((_BEFORE + upper.width + 1) // _IN_A_BYTE)
    packer = _packer(-zlib.MAX_WBITS)
    adler = zlib.adler32(lower, upper.adler).to_bytes(_CHECKED, "big")
    size = pack(">II", upper.width, height)
    return b"".join(
        (
            _SIGNATURE,
            *_chunk(b"IHDR", size + bytes((_BITS, _INDEXED, 0, 0, 0))),
            *_chunk(b"PLTE", palette),
            *_chunk(b"IDAT", upper.packed + packer.compress(lower) + packer.flush() + adler),
            *_chunk(b"IEND", b""),
        )
    )


def _packer(window: int) -> zlib._Compress:
    """A packer for lines on paper, twice as fast as the usual one."""
    return zlib.compressobj(1, zlib.DEFLATED, window, _MEMORY, zlib.Z_RLE)


def _chunk(kind: bytes, content: bytes) -> tuple[bytes, ...]:
    check = zlib.crc32(content, zlib.crc32(kind))
    return pack(">I", len(content)), kind, content, pack(">I", check)
