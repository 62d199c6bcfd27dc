"""Planning: what to do next, what a batch takes, what a bay can carry."""
