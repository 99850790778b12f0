"""What scripts/benchmark measures, and how it tells it."""
