"""What calculations of the bench share: readings, verdicts, selective parts, pistons."""
