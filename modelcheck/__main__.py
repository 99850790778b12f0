"""``python -m modelcheck``."""

from modelcheck.cli import main

main()
