"""Advice before a tune is played and across all that is played: keys, frets, capos, sets."""
