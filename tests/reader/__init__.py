"""An independent reader of published crochet instructions, and what it finds."""
