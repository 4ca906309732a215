"""Planetary gear sets, what joins them, and what each applied element does to speeds and torques."""
