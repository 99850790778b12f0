"""The checks: each joins a rule with what was read; one file a check."""
