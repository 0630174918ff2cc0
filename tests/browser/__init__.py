"""The web page in a real browser."""
