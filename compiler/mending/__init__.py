"""Mends: changes to the text of a set that are proved to remove a finding and to bring none."""
