from modelcheck.model.run import LooseEnd, Network
from modelcheck.network.doubts import doubted_entries
from tests.unit.network.drawn import ref

HERE = (0.0, 0.0, 0.0)


def test_a_box_is_in_doubt_for_each_end_that_stops_short_of_it():
    loose = (
        LooseEnd(element=ref("a"), point=HERE, other=ref("B"), gap_m=0.03),
        LooseEnd(element=ref("c"), point=HERE, other=ref("B"), gap_m=0.0125),
    )
    told = doubted_entries(Network(loose_ends=loose))
    assert told == {
        ref("B").key: "Piece a ends 30.0 mm short of it; Piece c ends 12.5 mm short of it"
    }


def test_an_end_in_the_open_puts_no_box_in_doubt():
    assert doubted_entries(Network(loose_ends=(LooseEnd(element=ref("a"), point=HERE),))) == {}
