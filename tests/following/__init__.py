"""`wallward follow` against the second checker, against the text with a step taken out, and whole."""
