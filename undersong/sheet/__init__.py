"""Sheets: what an arrangement looks like on paper and in files.

Every sheet reads a ``solver.result.Arrangement`` and nothing else. A new one is one new file and
one row of ``undersong.sheet.write.FORMATS``. Import from the module that you want:

- ``text``: the text tab; ``document``: JSON, both ways; ``write``: into files, by their suffix;
- ``musicxml``: for notation programs; ``table``: CSV; ``rhythm``: ticks as written note values;
- ``folding``: which repeats a sheet may print as written; ``options``: how sheets are printed.
"""
