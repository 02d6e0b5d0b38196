"""Whole books: every tune of a folder, a list or an ABC file, arranged and bound into one.

A tune is a work unit: ``one_tune`` makes its files and its ``Entry`` from its own text and the
settings, wherever that runs. ``making`` shares the work out, ``state`` remembers what is finished,
and what is bound at the end is made of entries and files alone, so a book whose making was
interrupted is the same, byte by byte, as one that was made in one go.
"""
