"""The form of a calculation, from its declaration."""
