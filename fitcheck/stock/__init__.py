"""What to keep on the shelf: how much is asked for, how sure that is, and what it takes."""
