"""Text to trees with places: YAML, Markdown and the phrase language; no names are known."""
