"""What changed between two versions of a protocol set, in the words of the trade.

Steps are matched by what they do and then by their words, so that a step that moved is told as
moved. Nothing here opens a file: both versions are given as values.
"""
