"""How inputs and outputs are declared once, and how a request is read against its declaration."""
