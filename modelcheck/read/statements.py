"""The statements of a model's text and what each refers to, as arrays, without reading a value."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Numbers = npt.NDArray[np.int64]
Places = npt.NDArray[np.int32]
_Bytes = npt.NDArray[np.uint8]

_PIECE = 1 << 22  # bytes looked at together
_DIGITS = 10  # of an instance number, at most
_GAP = 3  # blanks before the sign of equality, at most
_DEEPEST = 400  # instances that follow each other; more is not told
_HASH, _QUOTE, _ZERO, _EQUAL = (ord(sign) for sign in "#'0=")
_BLANKS = (ord(" "), ord("\t"), ord("\r"), ord("\n"))


@dataclass(frozen=True, slots=True)
class Statements:
    """Instances of a text and the references between them."""

    ids: Numbers  # shape (n,), the number of each instance, in the order of the text
    users: Places  # shape (m,), for each reference the place in `ids` of the one that refers
    used: Places  # shape (m,), and of the one that is referred to

    def trees(self) -> npt.NDArray[np.float64] | None:
        """How many instances one meets that follows all references of each, itself counted.

        An instance counts as often as it is met: that is what a nested copy would cost.

        Returns
        -------
        ndarray of float, shape (n,), or None
            None where references lead round in a circle, or further than can be told.
        """
        users, used = self.users, self.used
        trees = np.ones(len(self.ids))
        walks: npt.NDArray[np.float64] = trees.copy()
        for _ in range(_DEEPEST):
            walks = np.bincount(users, walks[used], minlength=len(walks)).astype(np.float64)
            if not len(users):
                return trees
            trees += walks
            goes_on = walks[used] > 0.0
            users, used = users[goes_on], used[goes_on]
        return None


def statements_of(text: bytes) -> Statements | None:
    """Find the statements of a text and their references.

    Parameters
    ----------
    text : bytes
        Of a whole file.

    Returns
    -------
    Statements or None
        None where that can't be told for certain: it holds comments, numbers that stand twice or
        are too long, or references that lead nowhere.
    """
    if b"/*" in text:
        return None
    ids, users, used = [], [], []
    begin, count, within = 0, 0, 0
    while begin < len(text):
        end = text.find(b"\n", begin + _PIECE) + 1 or len(text)
        piece = np.frombuffer(text, np.uint8, end - begin, begin)
        numbers, defines, within = _numbers_in(piece, within)
        places = np.cumsum(defines, dtype=np.int32) + np.int32(count - 1)
        ids.append(numbers[defines])
        users.append(places[~defines])
        used.append(numbers[~defines])
        begin, count = end, count + len(ids[-1])
    return _joined(np.concatenate(ids), np.concatenate(users), np.concatenate(used))


def _numbers_in(piece: _Bytes, within: int) -> tuple[Numbers, npt.NDArray[np.bool_], int]:
    """Instance numbers in whole lines, and which of them define one.

    `within` is 1 where the lines begin, or end, within a string.
    """
    signs = np.flatnonzero((piece == _HASH) | (piece == _QUOTE))
    is_quote = piece[signs] == _QUOTE
    quotes = np.cumsum(is_quote) + within
    marks = signs[~is_quote & (quotes % 2 == 0)]
    padded = np.append(piece, np.zeros(_DIGITS + _GAP + 2, np.uint8))
    numbers = np.zeros(len(marks), np.int64)
    after, on = marks + 1, np.ones(len(marks), np.bool_)
    for _ in range(_DIGITS):
        digits = padded[after] - _ZERO  # what is none wraps round to a large one
        on &= digits <= 9  # noqa: PLR2004
        if not on.any():
            break
        numbers = np.where(on, numbers * 10 + digits, numbers)
        after += on
    for _ in range(_GAP):
        after += np.isin(padded[after], _BLANKS)
    return numbers, padded[after] == _EQUAL, int(quotes[-1]) % 2 if len(quotes) else within


def _joined(ids: Numbers, users: Places, used: Numbers) -> Statements | None:
    """Statements with the place of each that is referred to; None where one isn't there."""
    order = np.argsort(ids, kind="stable")
    ordered = ids[order]
    is_sound = len(ids) and int(ordered[0]) > 0 and bool((np.diff(ordered) > 0).all())
    if not is_sound or (len(users) and int(users[0]) < 0):
        return None
    found = np.searchsorted(ordered, used)
    found[found == len(ids)] = 0
    if not bool((ordered[found] == used).all()):
        return None
    return Statements(ids, users, order[found].astype(np.int32))
