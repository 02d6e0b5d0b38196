"""Bad options and files of ``undersong levels``, one row each."""

from tests.undersong.bad_input import Bad

TUNE = "harrow-lane"
GOOD = '[[level]]\nteaches = "Roots."\nbass = "roots"\n'


def _option(name: str, arguments: tuple[str, ...], *says: str) -> Bad:
    return Bad(f"levels: {name}", ("levels", TUNE, *arguments), says, {"mine.toml": GOOD})


def _file(name: str, content: str | bytes, *says: str) -> Bad:
    return Bad(
        f"levels file: {name}",
        ("levels", TUNE, "--levels", "mine.toml"),
        ("mine.toml", *says),
        {"mine.toml": content},
    )


def _key(name: str, line: str, *says: str) -> Bad:
    return _file(name, GOOD + line + "\n", "[[level]] 1", *says)


OPTIONS = (
    _option("only none", ("--only", "0"), "--only", "5 levels", "1-5", "'0'"),
    _option("only too many", ("--only", "2-6"), "--only", "1-5", "'2-6'"),
    _option("only backwards", ("--only", "3-1"), "--only", "'3-1'"),
    _option("only in words", ("--only", "easy"), "--only", "'easy'"),
    _option("only of a file", ("--levels", "mine.toml", "--only", "2"), "--only", "1 levels"),
    _option("close in words", ("--close", "very"), "--close", "0 to 1000000", "'very'"),
    _option("close below nothing", ("--close", "-1"), "--close", "0 to 1000000"),
    _option("a bass of its own", ("--bass", "roots"), "--bass", "levels file"),
    _option("unknown texture", ("--texture", "duet"), "--texture", "'duet'", "song", "drone"),
    _option("no such file", ("--levels", "gone.toml"), "gone.toml", "no such file"),
    _option("a folder that is a file", ("--to", "mine.toml"), "--to mine.toml", "folder"),
    _option("a folder in none", ("--to", "no/where"), "--to no/where", "make it first"),
    _option("pages nowhere", ("--as", "txt"), "--as", "--to FOLDER"),
    _option("pages of no kind", ("--to", "out", "--as", "doc"), "--as", "'doc'", ".txt"),
    _option("pages twice", ("--to", "out", "--as", "txt", "--as", ".txt"), "--as", "ask once"),
)

FILES = (
    _file("empty", "", "0 levels", "[[level]]"),
    _file("too many", GOOD * 10, "10 levels", "1 to 9"),
    _file("no TOML", "[[level]\n", "no valid TOML"),
    _file("no text", b"\xff\xfe\x00", "no text", "UTF-8"),
    _file("unknown table", "[[levels]]\n", "'levels'", "level"),
    _file("one table", "[level]\n", "[[level]]"),
    _file("nothing taught", '[[level]]\nbass = "roots"\n', "[[level]] 1", "teaches"),
    _file("no bass", '[[level]]\nteaches = "Roots."\n', "[[level]] 1", "bass"),
    _file("the second", GOOD + GOOD.replace('"roots"', '"rots"'), "[[level]] 2", "'rots'", "roots"),
    _key("unknown key", "finger = 2", "'finger'", "fingers"),
    _key("fingers in words", 'fingers = "two"', "fingers", "whole number"),
    _key("too many fingers", "fingers = 6", "fingers", "0 to 5"),
    _key("reach too far", "reach = 1001", "reach", "0 to 1000"),
    _key("time below nothing", "time = -1", "time", "0 to 1000"),
    _key("shifts with a point", "shifts = 1.5", "shifts", "whole number"),
    _key("barred in words", 'barred = "no"', "barred", "true or false"),
    _key("unused: no finger", 'unused = ["X"]', "unused", "T I M R P"),
    _key("unused: an empty name", 'unused = [""]', "unused", "T I M R P"),
    _key("unused: twice in one word", 'unused = "RPR"', "unused", "each once"),
    _key("unused twice", 'unused = ["P", "p"]', "unused", "each once"),
    _key("no such fret", "highest = 6.2", "highest", "6.2"),
    _key("fret too high", "highest = 99", "highest", "99"),
    _key("a fret that is none", "highest = true", "highest"),
    _key("unknown texture", 'texture = "duet"', "texture", "solo"),
    _key("unknown right hand", 'right-hand = "juggle"', "'juggle'", "full-strum"),
    _key("a manner of another texture", 'texture = "drone"', "drone"),
)

ROWS = (*OPTIONS, *FILES)
