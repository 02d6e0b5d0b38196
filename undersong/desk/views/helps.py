"""A sentence of help for each setting of the page.

Public: HELPS, SPAN_HELP.
"""

from types import MappingProxyType

SPAN_HELP = (
    "Lay the hand flat beside a ruler, fingers spread as far as they go without strain, and read "
    "from the tip of the thumb to the tip of the little finger."
)

HELPS = MappingProxyType(
    {
        "tempo": "Beats a minute; left empty, the tune's own. A slower tune leaves the hand more "
        "time, so other shapes may become the best.",
        "transpose": "Semitones up, or down if negative, for whoever sings.",
        "octave": "Moves the melody of some bars, such as 5-8=-1 or all=1; left empty, as it is.",
        "chords": "Where the chords come from.",
        "instrument": "How many strings, and which frets there are.",
        "tuning": "From the bass string to the melody string, such as D-A-d or D3 A3 D4; left "
        "empty, the instrument's own.",
        "capo": "The fret that the capo sits at, counted from the nut; 0 is none.",
        "scale": "Nut to bridge, such as 686mm or 27in; left empty, the instrument's own.",
        "hand": "One of the list, or your own span such as 190mm.",
        "without_fingers": "Fingers that stop no string.",
        "texture": "What you play: chords under a voice, the melody itself, a bass part, or the "
        "melody over open strings.",
        "manner": "How the bass goes from chord to chord.",
        "right_hand": "What the right hand strikes in each bar.",
        "no_chord": "What happens where no chord is written.",
        "bass_ceiling": "Highest fret of the bass string.",
        "highest": "Highest fret of the other strings.",
        "melody_highest": "Highest fret of the string that has the melody.",
        "bass_above": "Lets other strings sound below the bass note, at a price.",
        "graces": "Plays the grace notes too.",
        "level": "Keeps within what one of the levels asks of the hand at most.",
        "alike": "The same hands wherever the music comes again, so that there is less to learn.",
        "shapes": "At most so many different shapes; few of them may take long to prove.",
        "at_most": "Such as 2 shifts, B or 1 barred, bars 9-16; several with semicolons between.",
        "at_least": "Such as 3 passing.",
        "weights": "What you would do to have it, in milliseconds of hand work: further right "
        "means that the hand may work more for it.",
        "pins": "What stays as it is, whatever else changes.",
        "forbids": "What is never played there.",
    }
)
