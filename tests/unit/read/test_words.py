"""Names as models have them; common practice, no source."""

import pytest

from modelcheck.read.mapping import entries
from modelcheck.read.words import box_tag, merged, named, with_equal_numbers

BOXES = [
    "Pull Box 12x12x4",
    "Conduit Pull Box",
    "Pull Box for Conduit",
    "PULLBOX-3",
    "PullBox_12x12",
    "Pull-Box",
    "J-Box 4x4",
    "Junction Box - Screw Cover",
    "Junction Box with Conduit Elbow",
    "Screw Cover Pull Box 12x12x4",
    "Pull Box EMT 12x12",
    "Conduit Junction Box - Tee - Aluminum",
    "Junction Box Fitting",
    "Pull/Junction Box",
    "Single gang device box",
    "Boîte de jonction 12x12",
    "Handhole HH-1",
]
BODIES = [
    "Conduit Body - LB",
    "Conduit Body:Type C",
    'LB 2"',
    '2" LB',
    "LL - EMT",
    "Conduit LR",
    'LB Conduit Fitting 2"',
    "Conduit Fitting: LB",
    'Pulling Elbow 2"',
    "Capped elbow",
]
FITTINGS = [
    "Conduit Elbow - without Fittings - EMT:Standard:443813",
    "Conduit, EMT, Elbow 90",
    "90 Elbow EMT Conduit",
    "Fitting, Conduit, EMT, Coupling",
    "EMT to Rigid Coupling",
    'Box connector 2" EMT',
    "Conduit connector",
    "Locknut",
    "Conduit bushing",
    "Conduit reducer",
    "EMT Union",
    "Sealing fitting EMT",
    "Expansion fitting",
    "Conduit Tee",
    "Coude de conduit EMT",
]
CAPS = ["Conduit cap", "Conduit plug", "Conduit Fitting - Cap", "EMT end cap"]
SEGMENTS = [
    "Conduit",
    "Conduit:EMT:443813",
    "Conduit with Fittings:Electrical Metallic Tubing (EMT):443813",
    'EMT Conduit - 1-1/2" with Compression Fittings',
    "EMT (set screw fittings)",
    "2 in EMT",
    "Rigid Metal Conduit",
    "Conduit to pull box PB-2",
    "Conduit Run: from JB-1 junction box",
    "EMT Conduit (concealed, cover 600 mm)",
    'Duct Bank Conduit 4"',
    "Conduit sleeve",
    "Flexible Conduit",
    "Conduit LL-2",
]
NEITHER = [
    "Conduit support",
    "Conduit hanger",
    'Conduit strap 2"',
    "Conduit clamp",
    "Conduit to cable tray clamp",
    "Junction box cover",
    "Cover for junction box",
    "Conduit body cover",
    "Couvercle de boîte de jonction",
    "Support de conduit",
    "Conduit opening",
]


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        pytest.param(name, kind, id=name)
        for kind, names in [
            ("box", BOXES),
            ("body", BODIES),
            ("fitting", FITTINGS),
            ("cap", CAPS),
            ("segment", SEGMENTS),
        ]
        for name in names
    ],
)
def test_a_name_tells_what_a_piece_of_conduit_is(name, kind):
    said = named(name)
    assert (said.kind, said.is_conduit) == (kind, True)


@pytest.mark.parametrize("name", NEITHER)
def test_what_holds_or_covers_conduit_is_none(name):
    assert named(name).kind in ("cover", "other")


@pytest.mark.parametrize(
    "name",
    [
        "C-101",
        "LB-101",
        "T-12",
        "LL-2",
        "50 LB weight",
        "Telephone Terminal Board 300x300",
        "Duplex Receptacle:Standard:443813",
        "Pipe Types:Standard",
        "Capacity 12",
        "Wall",
        "",
    ],
)
def test_a_tag_or_a_thing_of_another_trade_is_no_conduit(name):
    said = named(name)
    assert (said.kind, said.is_conduit) == ("", False)


@pytest.mark.parametrize(
    "name", ["Cable tray elbow", "Ladder Tray 300", "Busway 12x5", "Cable trunking", "Cable basket"]
)
def test_a_tray_is_told_from_conduit(name):
    said = named(name)
    assert (said.is_tray, said.is_conduit) == (True, False)


def test_an_elbow_of_no_trade_is_no_conduit():
    said = named("Elbow - Generic")
    assert (said.kind, said.is_conduit) == ("fitting", False)


def test_a_later_name_says_closer_what_an_earlier_one_leaves_open():
    assert merged([named('EMT 2"'), named("Conduit Elbow")]).kind == "fitting"
    assert merged([named("Conduit fitting 3"), named("Conduit Body - LB")]).kind == "body"
    assert merged([named("Pull box"), named("Conduit")]).kind == "box"
    assert merged([]).kind == ""


def test_a_trade_told_by_one_name_holds_for_all():
    said = merged([named("Elbow 3"), named("EMT standard")])
    assert (said.kind, said.is_conduit) == ("fitting", True)


@pytest.mark.parametrize("name", ["PB-3", "JB 12A", "PB12", "HH_1", " PB-3 "])
def test_a_name_that_is_only_the_tag_of_a_box_is_told(name):
    assert box_tag(name)


@pytest.mark.parametrize("name", ["PB", "PB-3 riser", "C-101", "APB-3", "pb-3"])
def test_any_other_name_is_no_tag_of_a_box(name):
    assert box_tag(name) == ""


@pytest.mark.parametrize(
    "name",
    [
        "Conduit B00012-R10/S3",
        'LB-12 2"',
        "50 LB 1-1/4 in",
        "LB 53mm conduit",
        "EMT LB 12",
        "PB-31",
        "Pull box 600x450x200 mm",
        "T 1.5 in conduit elbow 90",
    ],
)
def test_a_name_is_called_the_same_whatever_its_numbers(name):
    equal = with_equal_numbers(name)
    assert "1" not in equal
    assert named(equal) == named(name)
    assert box_tag(equal) == box_tag(name)


def test_no_word_of_a_kind_holds_a_digit():
    words = [word for table in ("words", "body_codes", "tags") for word in every(table)]
    assert words
    assert not [word for word in words if any(letter.isdigit() for letter in word)]


def every(table):
    return [word for each in entries(table).values() for word in each]
