"""One task that holds every deadline of a bay."""
