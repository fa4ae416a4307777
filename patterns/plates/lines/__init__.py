"""The lines drawing: the boat's own lines in three views, with how they bend and may be out."""
