"""Strings, frets, tunings, capos, the hand, and what a grip is. Knows nothing of costs."""
