"""Models made in code: one truth, written in the habits of many exporters.

`plant` says what is built, `pieces` which elements it is built of, `expect` what the tables must
say of it, `habits` how an exporter would draw it and `write_ifc` draws it so.
"""
