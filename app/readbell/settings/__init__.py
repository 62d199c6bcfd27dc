"""What differs from one computer to the next."""
