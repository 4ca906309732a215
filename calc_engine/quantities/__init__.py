"""Amounts with units: parse, convert, show; the only place that rounds for a reader."""
