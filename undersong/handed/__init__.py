"""Tab that was handed in: read as it was typed, held against tune and instrument, mended.

Three things can be handed in: lines of numbers with bar lines, this program's own page, and shapes
such as 3-1-0 over or under chord names. Strings are bass first everywhere here; frets are semitones
above the nut; bars are counted from 0 as they are written down in the tab; lines and columns of
the text from 1.

    tab         what was read, whatever its form
    numbers     a fret as somebody wrote it, in either numbering of the extra fret
    lines       reader of lines of numbers and of our own page; rows: what stands around them
    chord_shapes reader of shapes over chord names
    reading     which reader it is
    placing     which bar and which tick everything stands at
    judging, hands  what is wrong, and what is worth saying
    mending     cost, difficulty, and the smallest change that mends it
    words       the report

Public: ``undersong.handed.checking.check_tab`` and the values that it gives.
"""
