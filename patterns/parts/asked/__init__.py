"""What the builder asks for, in mm and radians: the boat as written, before any wood is made of it."""
