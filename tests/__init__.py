"""Tests and the models that they are made with."""
