"""The exact choice of selective parts for packs that may share them."""
