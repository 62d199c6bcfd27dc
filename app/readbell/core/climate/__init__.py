"""How warm it is at the bench and in the store, and what that means for the tests."""
