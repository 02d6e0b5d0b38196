"""Tab that was handed in: read as it was typed, held against tune and instrument, mended.

Three things can be handed in: lines of numbers with bar lines, this program's own page, and shapes
such as 3-1-0 over or under chord names. Strings are bass first everywhere here; frets are semitones
above the nut; bars are counted from 0 as they are written down in the tab; lines and columns of
the text from 1.

    tab         what was read, whatever its form
    numbers     a fret as somebody wrote it, in either numbering of the extra fret
    lines       reader of lines of numbers and of our own page; rows: what stands around them;
                widths: lines of a bar that are not equally wide
    chord_shapes reader of shapes over chord names; names_beside: which name is by which shape
    reading     which reader it is
    row_names   what the names of rows say: which way up they are
    odd_signs   the letter o for 0; names and signs that are not read
    placing     which bar and which tick everything stands at; by_chords: the same by chord names
    times       which time through a bar is that is written out for each
    whole       parts of a tune, and bars beyond its end
    written_out which times through the bars of a part are
    otherwise   whether it is written otherwise than it was read
    judging, hands, fretless, thirds  what is wrong, and what is worth saying
    spelling    notes by the names that a player gives them
    mending     the smallest change; nearest: how it is found; reasons: what of it mends something,
                and what is only a wish; unmended: what that does not say
    rated       how difficult it is, and whether there is time for it
    words, mend_words, document  the report, on a page and as JSON

Public: ``undersong.handed.checking.check_tab`` and the values that it gives.
"""
