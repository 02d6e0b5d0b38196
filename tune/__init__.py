"""Music in: tunes, chords, metres and the readers. Knows nothing of strings."""
