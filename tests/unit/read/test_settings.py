import pytest

from modelcheck.errors import InputFileError
from modelcheck.model.settings import Options, Settings
from modelcheck.read.settings import read_settings


def settings_of(tmp_path, text, **options):
    path = tmp_path / "SETTINGS.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_settings(path, Options(**options))


def test_without_a_file_or_option_everything_is_the_default():
    assert read_settings(None, Options()) == Settings()


@pytest.mark.parametrize(
    ("text", "options", "expected"),
    [
        pytest.param("", {"code": "nec"}, ("nec", "2023", "inch", "in"), id="nec-defaults"),
        pytest.param("", {"code": "cec"}, ("cec", "2024", "metric", "mm"), id="cec-defaults"),
        pytest.param(
            '[options]\ncode = "nec"', {}, ("nec", "2023", "inch", "in"), id="code-of-the-file"
        ),
        pytest.param(
            '[options]\ncode = "nec"\nedition = "2020"\nunits = "mm"',
            {"units": "in", "basis": "metric"},
            ("nec", "2020", "metric", "in"),
            id="the-command-line-wins",
        ),
        pytest.param(
            '[options]\ncode = "nec"\nedition = "2020"',
            {"code": "cec"},
            ("cec", "2024", "metric", "mm"),
            id="an-edition-stays-with-its-code",
        ),
    ],
)
def test_code_edition_basis_and_units_are_put_together(tmp_path, text, options, expected):
    settings = settings_of(tmp_path, text, **options)
    assert (settings.code, settings.edition, settings.basis, settings.units) == expected


def test_every_table_is_read(tmp_path):
    settings = settings_of(
        tmp_path,
        """
        [select]
        conduit = "IfcFlowSegment"
        [tolerances]
        join_mm = 5
        near_in = 4
        [properties]
        trade_size = "Conduit Size"
        cover = ["Lid", "Opens to"]
        [box."PB-1"]
        inside_in = [24, 18, 8]
        cover = ["+z", "-z"]
        volume_in3 = 10
        clamps = 2
        conductors = { "12 AWG" = 4 }
        devices = [{ conductor = "12 AWG", depth_mm = 30 }]
        [conduit.C-101]
        metric_designator = 35
        raceway_type = "EMT"
        [ends]
        meant = ["C-900"]
        [systems]
        exclude = "Lightning protection"
        [rules]
        spacing = "centre"
        bend_allowance_deg = 15
        [limits]
        run_length_ft = 100
        [[amendment]]
        check = "bends-between-pull-points"
        code = "nec"
        value = 270
        clause = "local 1"
        source = "town list"
        adopted_by = "town"
        """,
    )
    assert settings.select.conduit == "IfcFlowSegment"
    assert settings.tolerances.join_m == 0.005
    assert settings.tolerances.near_m == pytest.approx(0.1016)
    assert settings.properties.trade_size == ("Conduit Size",)
    assert settings.properties.cover == ("Lid", "Opens to")
    ((name, box),) = settings.boxes
    assert name == "PB-1"
    assert box.inside_m == pytest.approx((0.6096, 0.4572, 0.2032))
    assert box.cover == ("+z", "-z")
    assert box.contents.volume_cm3 == pytest.approx(163.87064)
    assert box.contents.clamps == 2
    assert box.contents.studs is None
    assert box.contents.conductors == (("12 AWG", 4),)
    assert box.contents.devices == (("12 AWG", 3.0),)
    assert settings.conduits[0][0] == "C-101"
    assert settings.conduits[0][1].trade_size_in == "1-1/4"
    assert settings.meant_ends == ("C-900",)
    assert settings.exclude_systems == ("Lightning protection",)
    assert settings.rules.spacing == "centre"
    assert settings.rules.bend_allowance_deg == 15.0
    assert settings.limits.run_length_m == pytest.approx(30.48)
    assert settings.amendments[0].value == 270.0


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        pytest.param(
            "[select]\n\nconduits = 'IfcFlowSegment'",
            "SETTINGS.toml:3: select conduits is not known, did you mean 'conduit'",
            id="unknown-key",
        ),
        pytest.param(
            "[ends]\nmeant = []\n[selekt]\n",
            "SETTINGS.toml:3: selekt is not known, did you mean 'select'",
            id="unknown-table",
        ),
        pytest.param("[select\n", "SETTINGS.toml:1: this is not TOML", id="not-toml"),
        pytest.param(f"a = {'9' * 5000}", "SETTINGS.toml: this is not TOML", id="huge-number"),
        pytest.param("a = " + "[" * 5000, "SETTINGS.toml: ", id="deep-nesting"),
        pytest.param(b"a = '\xff'", "byte 5 is not UTF-8 text", id="not-utf-8"),
        pytest.param(
            "[select]\nbox = 'IfcWall |'",
            "SETTINGS.toml:2: select box is 'IfcWall |', which is no selector query",
            id="selector-with-a-stray-character",
        ),
        pytest.param(
            "[select]\nbox = 'IfcWall,'", "a selector query that ends too early", id="half-a-query"
        ),
        pytest.param(
            "[select]\nbox = 'IfcFlowSegmentt'",
            "asks for IfcFlowSegmentt, which is no IFC class, did you mean 'IfcFlowSegment'",
            id="unknown-class",
        ),
        pytest.param(
            "[tolerances]\njoin_mm = -1", "SETTINGS.toml:2: tolerances join_mm is -1", id="negative"
        ),
        pytest.param("[tolerances]\njoin_mm = nan", "it must be a number", id="nan"),
        pytest.param("[tolerances]\njoin_mm = 1\njoin_in = 1", "also given in mm", id="twice"),
        pytest.param("[tolerances]\nnear_mm = 5", "near must be at least", id="near-below-enter"),
        pytest.param(
            '[box.A]\n[box."PB-1"]\ncover = "top"',
            "SETTINGS.toml:3: box \"PB-1\" cover has 'top', each must be '-x', '+x'",
            id="unknown-wall",
        ),
        pytest.param(
            "[box.A]\ninside_mm = [1, 2]", "must be a list of 3 numbers", id="two-inside-sizes"
        ),
        pytest.param("[box.A]\ninside_mm = [1, 2, 0]", "not more than 0", id="size-of-zero"),
        pytest.param("[box.A]\nclamps = -1", "must be a whole number", id="negative-count"),
        pytest.param("[box.A]\nclamps = true", "must be a whole number", id="count-of-true"),
        pytest.param(
            "[conduit.A]\ntrade_size_in = '1.3'", "which is no trade size", id="unknown-size"
        ),
        pytest.param(
            "[conduit.A]\ntrade_size_in = '2'\nmetric_designator = 78",
            "SETTINGS.toml:3: conduit A metric_designator is 78, but the trade size 2 is 53",
            id="sizes-that-disagree",
        ),
        pytest.param(
            "[[amendment]]\n[[amendment]]\ncheck = 'box-volume'",
            "SETTINGS.toml:1: amendment 1 must give its check",
            id="amendment-without-a-check",
        ),
        pytest.param("select = 1", "select is 1, it must be a table", id="no-table"),
        pytest.param("amendment = 1", "must be a list of tables", id="no-array"),
        pytest.param("[options]\ncode = 'iec'", "it must be 'cec' or 'nec'", id="unknown-code"),
        pytest.param("[options]\nstrict = 'yes'", "must be true or false", id="worded-flag"),
        pytest.param("[properties]\ncover = [1]", "each must be a text", id="number-for-text"),
        pytest.param("[limits]\nrun_length_m = 0", "must be more than 0", id="limit-of-zero"),
    ],
)
def test_a_mistake_is_one_sentence_with_its_place(tmp_path, text, sentence):
    with pytest.raises(InputFileError) as caught:
        settings_of(tmp_path, text)
    assert sentence in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_missing_file_is_named(tmp_path):
    with pytest.raises(InputFileError, match=r"none\.toml: can't be read: No such file"):
        read_settings(tmp_path / "none.toml", Options())


def test_a_byte_order_mark_is_no_mistake(tmp_path):
    assert settings_of(tmp_path, b"\xef\xbb\xbf[ends]\nmeant = 'A'").meant_ends == ("A",)
