"""Sound: what an arrangement sounds like, in files to listen to and in MIDI.

Everything here reads a ``solver.result.Arrangement`` and nothing else. Import from the module that
you want:

- ``playing``: which string sounds from when to when; ``clock``: when a tick is, in seconds;
- ``sound_options``: tempo, count-in, loops, strings; ``plan``: what they make of the tune;
- ``strings``: one plucked note; ``body``: the box under it; ``mix``: all of them, block by block;
- ``files``: WAV, FLAC, MP3 and OGG; ``ogg``: the same bytes for the same music; ``midi``: MIDI.
"""
