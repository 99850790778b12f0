"""Boxes that may have an entry which was not seen: then nothing of theirs is sure."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from modelcheck.model.run import Network
from modelcheck.network.run_facts import millimetres

Key = tuple[str, int]


def doubted_entries(network: Network) -> Mapping[Key, str]:
    """Say of each box which conduits stop a little short of it, by its key.

    Such a conduit may be meant to enter it, and would change what is asked of it.

    Parameters
    ----------
    network : Network
    """
    texts: dict[Key, list[str]] = defaultdict(list)
    for loose in network.loose_ends:
        if loose.other is not None and loose.gap_m is not None:
            name = loose.element.name or loose.element.guid
            texts[loose.other.key].append(f"{name} ends {millimetres(loose.gap_m)} short of it")
    return {key: "; ".join(dict.fromkeys(own)) for key, own in texts.items()}
