"""What is held for review: why, who released it, and what was withdrawn."""
