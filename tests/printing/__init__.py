"""Sheets as they are printed: type, paper, PDF."""
