"""How a command ends, and how long a page may take."""
