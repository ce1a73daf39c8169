"""What the language is: source, syntax tree, parser, printer, stitches and measures."""
