"""One part as one full-size drawing, with all a builder needs at the bench."""
