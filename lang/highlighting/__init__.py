"""Colours for editors and pages: what kind of word each word of a pattern is."""
