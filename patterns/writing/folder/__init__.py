"""The job's folder: old or new whole at every moment, the builder's own files left alone."""
