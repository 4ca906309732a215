"""What an answer looks like, as plain data: the build writes it as HTML, the browser makes nodes of it."""
