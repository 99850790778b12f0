"""Records that every stage shares: tuples and strings only, no numpy, IFC entity or graph node."""
