"""What is wanted of a job, and what that means: which parts are printed, on which paper, for which printer."""
