"""From text to a tree whose every value keeps its place, and the problems found on the way."""
