"""English word forms, and the words of the trade in other languages."""
