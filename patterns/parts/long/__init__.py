"""Long pieces along the planking: logs, rails, keel battens, risers, skeg; how they end, and their solids."""
