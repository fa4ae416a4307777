"""Parts laid on sheets of plywood: what lies where, why not, what is left; proved on the true outlines."""
