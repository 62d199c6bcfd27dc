"""Many made-up days of a bay, played as fast as they go, to see what it can carry."""
