"""What is joined to what, as graphs of a general-purpose library that knows nothing of crochet."""
