"""Supplier lists: reading, understanding and crossing them."""
