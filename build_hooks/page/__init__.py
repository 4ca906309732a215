"""From a page as its author wrote it to finished HTML."""
