"""What bench pages say of lengths, boards and the saw, in the builder's units."""
