"""Who works here: roles, signing in, and what each is cleared for."""
