"""job.json: every figure of a job for other programs to read."""
