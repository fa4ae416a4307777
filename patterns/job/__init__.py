"""The whole job as a value: what is wanted goes in, files and things to tell come out.

Nothing here prints or reads arguments. What can be asked for is one table, `products.table`.
"""
