"""What the boat weighs by her parts, and how she floats with what is put aboard. For information only."""
