"""Finding plans: exact searches over what the inventory offers and the rock allows."""
