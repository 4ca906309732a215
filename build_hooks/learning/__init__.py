"""Bringing somebody new up on the standards: paths, practice, sign-off. From data to pages; the browser keeps the record.

Whoever needs the whole of it asks `part`.
"""
