"""Geometry without IFC: frames, centre lines, meshes, walls (numpy and shapely live here)."""
