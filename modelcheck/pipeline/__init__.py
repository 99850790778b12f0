"""The only joiner of the stages: read, trace, check, write."""
