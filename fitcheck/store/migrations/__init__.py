"""The migrations of the store, from the first tables to the newest."""
