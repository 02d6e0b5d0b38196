"""Bad options and arguments, one row each."""

import shlex

from tests.undersong.bad_input import Bad

TUNE = "harrow-lane"


def _arrange(name: str, options: str, *says: str) -> Bad:
    return Bad(name, ("arrange", TUNE, *shlex.split(options)), says)


COMMANDS = (
    Bad("unknown command", ("arange",), ("no command 'arange'", "did you mean arrange")),
    Bad("far-off command", ("juggle",), ("no command 'juggle'", "arrange", "chart-format")),
    Bad("option of the whole", ("--loud",), ("--loud", "undersong --help")),
    Bad("no tune", ("arrange",), ("TUNE is missing", "undersong arrange --help")),
    Bad("two tunes", ("arrange", TUNE, "lantern-path"), ("lantern-path", "arrange --help")),
    Bad("unknown option", ("arrange", TUNE, "--tunning", "DAd"), ("--tunning", "arrange --help")),
    Bad("option without value", ("arrange", TUNE, "--capo"), ("--capo", "arrange --help")),
    Bad("flag with value", ("arrange", TUNE, "--from-capo=3"), ("--from-capo", "arrange --help")),
    Bad("a list takes nothing", ("hands", "small"), ("small", "undersong hands --help")),
    Bad("a list has no option", ("tunes", "--long"), ("--long", "undersong tunes --help")),
)

MUSIC = (
    Bad(
        "misspelled bundled tune",
        ("arrange", "harow-lane"),
        ("no bundled tune 'harow-lane'", "did you mean harrow-lane", "a file"),
    ),
    Bad("empty name", ("arrange", ""), ("bundled tune ''", "harrow-lane")),
    _arrange("tempo in words", "--tempo slow", "--tempo", "10 to 400", "'slow'"),
    _arrange("tempo too slow", "--tempo 9", "--tempo", "10 to 400", "'9'"),
    _arrange("tempo too fast", "--tempo 401", "--tempo", "10 to 400", "'401'"),
    _arrange("tempo with a point", "--tempo 96.5", "--tempo", "whole number"),
    _arrange("transposed too far", "--transpose 25", "--transpose", "-24 to 24"),
    _arrange("transposed to a key", "--transpose G", "--transpose", "whole number"),
    _arrange("unknown form", "--form midi", "--form", "'midi'", "abc", "chart"),
    _arrange("no such number", "--choose 7", "'7'", "Harrow Lane"),
    _arrange("no such title", "--choose Nobody", "'Nobody'", "Harrow Lane"),
)

STRINGS = (
    _arrange("a finger that is none", "--without-finger X", "--without-finger X", "T I M R P"),
    _arrange("a finger without letter", "--without-finger ''", "--without-finger", "T I M R P"),
    _arrange(
        "no finger left",
        "--without-finger TIM --without-finger RP",
        "--without-finger RP",
        "no finger left",
    ),
    _arrange("a noter's fingers", "--hand noter --without-finger P", "--without-finger P", "noter"),
    _arrange("mirrored, and no boxes", "--left-handed", "--left-handed", "--shapes-used"),
    _arrange("unknown instrument", "--instrument lute", "--instrument", "'lute'", "standard"),
    _arrange(
        "no such instrument file",
        "--instrument mine.toml",
        "--instrument",
        "mine.toml",
        "no such file",
    ),
    _arrange("two pitches", "--tuning 'D A'", "--tuning", "2 pitches", "D-A-d"),
    _arrange("a pitch that is none", "--tuning 'D3 H3 D4'", "--tuning", "'H3'", "D3"),
    _arrange(
        "four pitches on three courses",
        "--tuning 'D3 A3 D4 D4'",
        "--tuning",
        "4 pitches",
        "3 courses",
    ),
    _arrange("a tuning out of hearing", "--tuning 'D3 A3 D9'", "--tuning", "'D9'", "C1 to C6"),
    _arrange("an unknown word", "--tuning locrian", "--tuning", "'locrian'", "ionian"),
    _arrange(
        "a capo without a fret", "--capo 1+", "--capo", "1+", "does not run under every course"
    ),
    _arrange("a capo in words", "--capo first", "--capo", "'first'", "no fret number"),
    _arrange("a capo behind the nut", "--capo -1", "--capo", "'-1'", "no fret number"),
    _arrange("a capo that leaves no fret", "--capo 14", "--capo", "leaves no fret"),
    _arrange(
        "a capo beyond the frets",
        "--capo 15",
        "--capo: a capo cannot sit at fret 15: the frets end at 14; put it at fret 13",
    ),
    _arrange("a fret that cannot be", "--capo 2+", "--capo", "no fret 2+"),
    _arrange("a scale in words", "--scale long", "--scale", "'long'", "27in"),
    _arrange("a scale too short", "--scale 27", "--scale", "400 to 1200 mm"),
)

HAND = (
    _arrange("unknown hand", "--hand huge", "--hand", "'huge'", "small", "190mm"),
    _arrange("a span too small", "--hand 90mm", "--hand", "120 to 320 mm"),
    _arrange("a span in ells", "--hand 190ell", "--hand", "205mm or 8in"),
    _arrange("no such hand file", "--hand mine.toml", "--hand", "mine.toml", "no such file"),
    _arrange("unknown manner", "--bass stride", "--bass", "'stride'", "walking"),
    _arrange(
        "a pinned manner of another texture",
        "--pin '3: bass 3, manner walking' --pin '5-8: manner figure'",
        "--pin 'bars 5-8: manner figure'",
        "for the bass texture alone; ask for --texture bass",
    ),
    _arrange(
        "a drone with a pinned manner",
        "--texture drone --pin '2: manner walking'",
        "--pin 'bar 2: manner walking'",
        "a drone has no bass line",
    ),
    _arrange(
        "unknown right hand",
        "--right-hand frailing",
        "--right-hand",
        "'frailing'",
        "bass-then-strum",
    ),
    _arrange(
        "no such right-hand file",
        "--right-hand mine.toml",
        "--right-hand",
        "mine.toml",
        "cannot be read",
    ),
    _arrange("no chord: neither", "--no-chord hum", "--no-chord", "'hum'", "rest or carry"),
    _arrange("ceiling in words", "--bass-ceiling low", "--bass-ceiling", "'low'", "no fret number"),
    _arrange(
        "ceiling behind the capo",
        "--capo 3 --bass-ceiling 2",
        "--bass-ceiling",
        "behind the capo",
        "--from-capo",
    ),
    _arrange("highest beyond the neck", "--highest 30", "--highest", "beyond the third octave"),
    _arrange("highest behind the capo", "--capo 4 --highest 3", "--highest", "behind the capo"),
)

TEXTURE = (
    _arrange("unknown texture", "--texture choir", "--texture", "'choir'", "solo"),
    _arrange("a drone that walks", "--texture drone --bass walking", "--bass", "no bass line"),
    _arrange("unknown chords", "--chords mine", "--chords", "'mine'", "proposed"),
    _arrange("octaves in words", "--octave 1-4=up", "--octave", "'1-4=up'", "5-8=-1"),
    _arrange("no octave at all", "--octave 1-4=0", "--octave", "'1-4=0'", "1 to 3 octaves"),
    _arrange("octaves of no bars", "--octave 70-80=1", "--octave", "no bars 70-80", "bars 1 to"),
    _arrange("octaves too many", "--octave all=3 --octave all=3", "--octave", "can no longer be"),
    _arrange("a melody fret in words", "--melody-highest top", "--melody-highest", "no fret"),
    _arrange(
        "a melody fret behind the capo",
        "--texture solo --capo 3 --melody-highest 2",
        "--melody-highest",
        "behind",
    ),
)

WEIGHTS = (
    _arrange("unknown weight", "--weight elegance=5", "--weight", "'elegance'", "high-bass"),
    _arrange(
        "a weight without price", "--weight high-bass", "--weight", "high-bass=20", "'high-bass'"
    ),
    _arrange("a price without a weight", "--weight =5", "--weight", "high-bass=20", "'=5'"),
    _arrange(
        "a price in words",
        "--weight high-bass=much",
        "--weight",
        "high-bass",
        "whole number",
        "'much'",
    ),
    _arrange(
        "a price below nothing",
        "--weight high-bass=-1",
        "--weight",
        "high-bass",
        "between 0 and",
        "-1",
    ),
    _arrange(
        "a price beyond limits",
        "--weight high-bass=1000000",
        "--weight",
        "high-bass",
        "between 0 and",
    ),
    _arrange(
        "a weight given twice",
        "--weight high-bass=1 --weight high-bass=2",
        "--weight",
        "high-bass",
        "twice",
    ),
    _arrange("no weights file", "--weights mine.toml", "--weights", "mine.toml", "No such file"),
)

PAPER = (
    _arrange("suffix of no sheet", "--to tab.docx", "--to", "tab.docx", ".txt", ".json"),
    _arrange("no suffix", "--to tab", "--to", "suffix", ".txt"),
    _arrange("no such folder", "--to nowhere/tab.txt", "--to", "no folder nowhere"),
    _arrange("a folder", "--to .", "--to", "this is a folder"),
    _arrange("standard output twice", "--to - --to -", "--to -", "twice"),
    _arrange("a name too long", "--to " + "x" * 400 + ".txt", "--to", "no file can have that name"),
    _arrange("page too narrow", "--width 39", "--width", "40 to 400"),
    _arrange("page of endless width", "--width 1e9", "--width", "40 to 400"),
    _arrange("no time", "--time-limit 0", "--time-limit", "'0'"),
    _arrange("time below nothing", "--time-limit -5", "--time-limit", "'-5'"),
    _arrange("time in words", "--time-limit soon", "--time-limit", "'soon'"),
    _arrange("time that is no number", "--time-limit nan", "--time-limit", "'nan'"),
    _arrange("endless time", "--time-limit inf", "--time-limit", "'inf'"),
)

ROWS = (*COMMANDS, *MUSIC, *STRINGS, *HAND, *TEXTURE, *WEIGHTS, *PAPER)
