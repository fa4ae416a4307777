"""Where pages meet: the grid, register crosses, the furniture of a tile, its key plan."""
