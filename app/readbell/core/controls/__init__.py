"""Control samples: what is run to see that a lot and its hands do what they should."""
