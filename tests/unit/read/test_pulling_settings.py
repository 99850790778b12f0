"""Table [pulling] and the make-up of [schedule]."""

import pytest

from modelcheck.errors import InputFileError
from modelcheck.model.settings import Options
from modelcheck.read.settings import read_settings


@pytest.fixture
def settings(tmp_path):
    def read(text):
        path = tmp_path / "S.toml"
        path.write_text(text, encoding="utf-8")
        return read_settings(path, Options())

    return read


def test_without_the_table_no_advice_is_asked_for(settings):
    assert settings("").pulling is None


def test_an_empty_table_asks_for_advice_with_defaults(settings):
    pulling = settings("[pulling]\n").pulling
    assert (pulling.friction, pulling.feed_n, pulling.attachment) == (None, 0.0, "pulling-eye")


def test_weights_are_by_size_or_by_size_and_insulation_in_either_unit(settings):
    pulling = settings(
        '[pulling.weights_kg_per_m]\n"250 kcmil" = 1.3\n"4/0 awg rw90" = 1.1\n'
        '[pulling.weights_lb_per_ft]\n"4 AWG" = 0.16\n'
    ).pulling
    assert dict(pulling.weights_kg_per_m) == pytest.approx(
        {"250 kcmil": 1.3, "4/0 AWG RW90": 1.1, "4 AWG": 0.16 * 0.45359237 / 0.3048}
    )


def test_pounds_of_force_become_newtons(settings):
    pulling = settings("[pulling]\nfeed_lbf = 10\nsidewall_lbf_per_ft = 300\n").pulling
    assert pulling.feed_n == pytest.approx(44.482216)
    assert pulling.sidewall_n_per_m == pytest.approx(4378.17, rel=1e-5)


def test_make_up_is_a_length_in_either_unit(settings):
    assert settings("[schedule]\nmakeup_mm = 600\n").makeup_m == pytest.approx(0.6)
    assert settings("[schedule]\nmakeup_in = 24\n").makeup_m == pytest.approx(0.6096)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        pytest.param("[pulling]\nfriction = 0\n", "friction is 0, it must be more", id="zero"),
        pytest.param("[pulling]\ngrip = 1\n", "grip is not known", id="key"),
        pytest.param(
            '[pulling]\nattachment = "rope"\n', "'pulling-eye' or 'basket-grip'", id="eye"
        ),
        pytest.param(
            '[pulling.weights_kg_per_m]\n"thick" = 1\n', "is no conductor size", id="size"
        ),
        pytest.param("[pulling]\nfeed_n = 1\nfeed_lbf = 1\n", "is also given as feed_n", id="both"),
    ],
)
def test_a_mistake_is_told_with_its_line(settings, text, told):
    with pytest.raises(InputFileError) as error:
        settings(text)
    assert told in str(error.value)
