"""One plant in the habits of many exporters."""
