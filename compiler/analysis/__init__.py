"""Carries contamination through the steps, over every answer and round after round."""
