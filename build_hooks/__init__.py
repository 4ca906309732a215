"""Everything that turns unit data and Markdown into the manual: read, check, draw, bundle. Only ``plugin`` knows MkDocs."""
