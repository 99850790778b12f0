"""What is written in a picture, pixel by pixel."""

from io import BytesIO

from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw, ImageFont

from modelcheck.write.bcf_camera import looking_at
from modelcheck.write.bcf_picture import picture
from modelcheck.write.topics import Topic
from tests.unit.write.reports import finding, ref

FONT = ImageFont.load_default(15)
LEFT, UPPER, LINE = 12, 480 + 12, 22  # of the first line below what the camera sees
letters = st.characters(max_codepoint=0xFF, categories=("L", "N", "P", "S"))


def title_in_grey(name):
    """Title of the picture of a box of this `name`."""
    box = ref("0BOX", 10, name=name)
    topic = Topic(key="", kind="Box", subject=box, findings=(finding(subject=box),))
    image = Image.open(BytesIO(picture(topic, looking_at(topic.points))))
    return image.convert("L").crop((LEFT, UPPER, image.width, UPPER + LINE))


@given(st.text(letters, min_size=1, max_size=50))
def test_letters_stand_where_the_library_puts_them_when_it_writes_a_whole_line(name):
    title = title_in_grey(name)
    whole = Image.new("L", title.size)
    ImageDraw.Draw(whole).text((0, 0), name, fill=255, font=FONT)
    for ink, white in zip(whole.tobytes(), title.tobytes(), strict=True):
        assert (ink > 255 / 12) == (white < 255)
