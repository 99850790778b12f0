"""Stage 1: files in, records out."""
