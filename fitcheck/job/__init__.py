"""The bench sheet in, the job card out."""
