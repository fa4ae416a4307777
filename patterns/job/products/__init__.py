"""What a job can be asked for: each product is a function of the job, and makes only what it needs.

A new product is a function in one module here and a line in `table`.
"""
