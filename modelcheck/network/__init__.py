"""Stage 2: what touches what; entries, runs and the pulls that use them."""
