"""The pieces of wood, taken off the planked hull; `whole.loft` makes all of them."""
