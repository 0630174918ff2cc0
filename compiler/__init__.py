"""Wallward: a clinic's own PPE protocols, proved and printed. Read `pipeline.py` first."""

__version__ = "0.2.0"
