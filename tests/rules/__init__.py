"""Rules that look at words and dates, held against sources outside the project."""
