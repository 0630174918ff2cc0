"""Measures what the design promises, side by side in one run: `python -m tests.speed`."""
