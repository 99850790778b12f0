"""Checks conduit runs and pull boxes of IFC models against the minimums of the electrical codes."""

__version__ = "0.1.0"
