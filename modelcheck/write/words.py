"""Every text that the reports share, in one place."""

from __future__ import annotations

CAUTIONS = (
    "This aids a review and does not replace it: the adopted local code and the authority having"
    " jurisdiction govern, and a licensed person decides.",
    "Figures listed as not checked against the code book must be read there before anyone relies"
    " on them.",
)
