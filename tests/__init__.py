"""The tests, laid out like the folders that they test."""
