"""Diagnostics and counts as people and programs read them."""
