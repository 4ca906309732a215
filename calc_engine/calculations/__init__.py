"""One module for each calculation of the catalogue, named like it."""
