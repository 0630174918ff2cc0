"""Tests of the reviewer's report."""
