"""Bad files of the player's own: instruments, hands, right hands, weights; one row each."""

from tests.undersong.bad_input import GOOD_CHART, Bad

TUNE = "harrow-lane"


def _file(option: str, name: str, content: str | bytes, *says: str) -> Bad:
    return Bad(
        f"{option}: {name}",
        ("arrange", TUNE, option, "mine.toml"),
        (option, "mine.toml", *says),
        {"mine.toml": content},
    )


ROWS = (
    _file("--instrument", "no TOML", "frets: many", "TOML"),
    _file("--instrument", "unknown key", "colour = 'red'", "'colour'", "whole_frets"),
    _file("--instrument", "too few frets", "whole_frets = 3", "whole_frets", "7 to 21"),
    _file("--instrument", "an extra fret that is none", "extra_frets = ['2+']", "2+"),
    _file("--instrument", "no course of that name", "doubled = ['top']", "doubled", "melody"),
    _file("--instrument", "no text", b"\xff\xfe\x00", "text"),
    _file("--hand", "a finger that is none", "not_used = 'X'", "not_used", "T I M R P"),
    _file("--hand", "a thumb neither on nor off", "thumb_on_bass = 'no'", "thumb_on_bass", "true"),
    _file("--hand", "a noter's thumb", "noter = true\nthumb_on_bass = false", "thumb_on_bass"),
    _file("--hand", "no finger left", "not_used = 'TIMRP'", "no finger"),
    _file("--hand", "comfort beyond reach", "[comfortable]\n'T-I' = 500", "T-I"),
    _file("--hand", "movement below nothing", "[movement]\nhand_a = -1", "hand_a", "0"),
    _file("--right-hand", "empty", "", "no right hand"),
    _file("--right-hand", "no metre", "[mine]\nmeaning = 'x'", "[mine]", "no pattern"),
    _file("--right-hand", "a metre that is none", "[mine]\n'4' = ['0 bass']", "'4'", "4/4"),
    _file("--right-hand", "a string that is none", "[m]\n'4/4' = ['0 drone']", "'0 drone'"),
    _file("--right-hand", "no bass first", "[mine]\n'4/4' = ['0 upper']", "bass"),
    _file("--right-hand", "a metre over nothing", "[mine]\n'4/0' = ['0 bass']", "4"),
    _file("--weights", "no TOML", "high-bass: 20", "TOML"),
    _file("--weights", "unknown name", "elegance = 3", "'elegance'", "high-bass"),
    _file("--weights", "no whole number", "high-bass = 1.5", "high-bass", "whole number"),
    _file("--weights", "below nothing", "high-bass = -3", "high-bass", "between 0"),
    _file("--weights", "true", "high-bass = true", "high-bass", "whole number"),
    _file("--right-hand", "between the ticks", "[m]\n'4/4' = ['1/7919 bass']", "128th"),
    _file("--right-hand", "no text", b"\xff\xfe\x00", "no text"),
    _file("--right-hand", "no end of brackets", "a = " + "[" * 3000, "too deep"),
    _file("--weights", "no text", b"\xff\xfe\x00", "no text"),
    Bad(
        "--right-hand: not for this metre",
        ("arrange", TUNE, "--right-hand", "mine.toml"),
        ("mine", "3/4", "4/4"),
        {"mine.toml": "[mine]\n'3/4' = ['0 bass', '1 upper']\n"},
    ),
    Bad(
        "--to: the tune itself",
        ("arrange", "class.txt", "--to", "class.txt"),
        ("--to class.txt", "the tune itself"),
        {"class.txt": GOOD_CHART},
    ),
)
