"""What Markdown would pass over in silence: our blocks, signal words, links; and HTML written from elements."""
