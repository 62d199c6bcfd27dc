"""Results leave as files, and it stays known which of them did, and in which state."""
