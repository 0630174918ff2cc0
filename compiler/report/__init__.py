"""Findings in four forms: for people, one line each, as data, and for code hosts."""
