"""What is kept of people: who looked into it, what was archived, what was erased."""
