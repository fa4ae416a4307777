"""A boat folder read: boat.toml's values put together and held against each other."""
