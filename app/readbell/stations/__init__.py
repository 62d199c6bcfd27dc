"""Picks the concrete parts of a station of a shared bay, as `assembly` does those of a bay of its own."""
