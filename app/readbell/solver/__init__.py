"""Proves how short a batch can be, with the constraint solver of the extra `plan`."""
