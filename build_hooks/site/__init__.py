"""The built site: put in place, its files and headers, kept for offline use, served."""
