"""One place of work: it judges acts, records them, and announces what falls due."""
