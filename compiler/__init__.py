"""What is done with a pattern: sizes, counts, wording, documents, reports, the command line."""
