"""Paper, legibility, type and fitting: numbers only, no drawing."""
