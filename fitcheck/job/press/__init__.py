"""What a press or shrink fit carries, as one answer."""
