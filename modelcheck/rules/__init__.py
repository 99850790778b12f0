"""The arithmetic of the codes: no IFC, no GlobalId, no file but its own tables."""
