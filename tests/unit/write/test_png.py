from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from modelcheck.write.png import lines_of, png_of, upper_of

PALETTE = bytes(tone for place in range(15) for tone in (place, 2 * place, 255 - place))


def image(width, rows):
    held = Image.new("L", (width, len(rows)))
    held.putdata([place for row in rows for place in row])
    return held


def pixels(text):
    read = Image.open(BytesIO(text))
    read.load()
    return read.size, read.convert("RGB").tobytes()


def coloured(*parts):
    places = b"".join(part.tobytes() for part in parts)
    return b"".join(PALETTE[3 * place : 3 * place + 3] for place in places)


@st.composite
def two_parts(draw):
    width = draw(st.integers(1, 9))
    row = st.lists(st.integers(0, 14), min_size=width, max_size=width)
    rows = st.lists(row, min_size=1, max_size=4)
    return image(width, draw(rows)), image(width, draw(rows))


@given(two_parts())
def test_another_reader_sees_every_pixel_of_both_parts(parts):
    upper, lower = parts
    size, read = pixels(png_of(upper_of(upper), lines_of(lower), PALETTE))
    assert size == (upper.width, upper.height + lower.height)
    assert read == coloured(upper, lower)


def test_an_upper_part_serves_several_pictures():
    upper = upper_of(image(3, [[1, 2, 3]]))
    texts = [png_of(upper, lines_of(image(3, [[place] * 3])), PALETTE) for place in (4, 5)]
    assert texts[0] != texts[1]
    assert [pixels(text)[1][-3:] for text in texts] == [PALETTE[12:15], PALETTE[15:18]]


@pytest.mark.parametrize("place", [20, -20])
def test_what_is_spoiled_is_found_by_its_checksums(place):
    upper, lower = (image(3, [row]) for row in ([1, 2, 3], [4, 5, 6]))
    text = bytearray(png_of(upper_of(upper), lines_of(lower), PALETTE))
    text[place] ^= 1
    with pytest.raises((OSError, SyntaxError)):
        pixels(bytes(text))
