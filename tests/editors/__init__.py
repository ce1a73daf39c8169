"""Editors and their parts, driven without a screen."""
