"""Round-bilged hulls: one surface that every line of the table agrees on, and what it says of the table."""
