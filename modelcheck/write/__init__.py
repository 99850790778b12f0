"""Last stage: the answer where people meet it."""
