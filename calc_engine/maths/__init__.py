"""Mathematics that is equal to the byte on every machine: functions, distributions, statistics."""
