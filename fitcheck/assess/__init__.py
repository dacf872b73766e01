"""What the worn parts allow: counterface, seats, duty."""
