"""What a site has decided for itself, where rules leave it the choice."""
