"""Published sequences as whole protocol sets: an oracle from outside the project."""
