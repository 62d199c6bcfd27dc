"""Codes and values into sentences: the only place where the program finds words."""
