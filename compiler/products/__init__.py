"""Sheets: one protocol in one language becomes one page, as HTML and then as PDF."""
