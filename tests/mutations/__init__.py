"""Protocols spoilt on purpose: every class of fault, and how many of them the checker tells."""
