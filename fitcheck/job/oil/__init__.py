"""Oil in a hub, as one answer."""
