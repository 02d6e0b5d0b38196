"""What a work asks for: the same values as the command line's, and no file of any name."""

from dataclasses import replace
from pathlib import Path

import pytest

import corpus
from tests.undersong.desk.works import work
from undersong.cli.asked import Asked, hand_of, instrument_of, style_of, tune_of
from undersong.desk.refused import Refusal
from undersong.desk.settings import begun, session_of
from undersong.desk.work import CHART, Source, Work


def asked(**given: object) -> Asked:
    """The command line's options, as little as can be said."""
    usual: dict[str, object] = dict.fromkeys(Asked.__dataclass_fields__)
    usual |= {
        "tune": "harrow-lane", "transpose": 0, "instrument": "standard", "capo": "0",
        "hand": "medium", "texture": "song", "chords": "given", "octave": (), "graces": False,
        "right_hand": "bass-then-strum", "no_chord": "rest", "bass_above": False, "weight": (),
        "to": (), "melody_on_top": False, "from_capo": False, "without_finger": (),
    }  # fmt: skip
    return Asked(**{**usual, **given})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("settings", "options"),
    [
        ({}, {}),
        ({"tuning": "ionian", "capo": "3"}, {"tuning": "ionian", "capo": "3"}),
        ({"hand": "190mm", "without_fingers": ("P",)}, {"hand": "190mm", "without_finger": ("P",)}),
        ({"texture": "bass", "manner": "walking"}, {"texture": "bass", "bass": "walking"}),
        ({"transpose": -2, "tempo": 90}, {"transpose": -2, "tempo": 90}),
        ({"texture": "solo", "chords": "proposed"}, {"texture": "solo", "chords": "proposed"}),
        ({"octave": (("1-4", 1),)}, {"octave": (("1-4", 1),)}),
        ({"bass_ceiling": "9", "capo": "1"}, {"bass_ceiling": "9", "capo": "1"}),
    ],
)
def test_settings_mean_what_options_mean(
    settings: dict[str, object], options: dict[str, object]
) -> None:
    mine = begun(replace(work(**settings), tune=Source(bundled="harrow-lane")))
    theirs = asked(**options)
    tune, instrument = tune_of(theirs), instrument_of(theirs)
    assert replace(mine.tune, notices=()) == replace(tune, notices=())
    assert mine.instrument == instrument
    assert mine.hand == hand_of(theirs)
    assert mine.style == style_of(theirs, tune, instrument)


@pytest.mark.parametrize(
    ("settings", "field"),
    [
        ({"instrument": "lute"}, "instrument"),
        ({"tuning": "D-A"}, "tuning"),
        ({"capo": "99"}, "capo"),
        ({"scale": "wide"}, "scale"),
        ({"hand": "huge"}, "hand"),
        ({"without_fingers": ("X",)}, "without_fingers"),
        ({"texture": "choir"}, "texture"),
        ({"manner": "figure"}, "manner"),
        ({"right_hand": "hammer"}, "right_hand"),
        ({"no_chord": "sing"}, "no_chord"),
        ({"bass_ceiling": "x"}, "bass_ceiling"),
        ({"capo": "3", "highest": "1"}, "highest"),
        ({"level": 9}, "level"),
        ({"alike": "verses"}, "alike"),
        ({"tempo": 1}, "tempo"),
        ({"chords": f"{CHART}| D |"}, "chords"),
        ({"chords": "proposed"}, "chords"),
    ],
)
def test_a_refusal_names_its_field(settings: dict[str, object], field: str) -> None:
    with pytest.raises(Refusal) as refused:
        begun(work(**settings))
    assert refused.value.field == field
    assert refused.value.sentence


@pytest.mark.parametrize("name", ["own.toml", "./own.toml", "/tmp/own.toml", "..\\own.toml"])
@pytest.mark.parametrize("field", ["instrument", "hand", "right_hand"])
def test_no_setting_names_a_file(
    name: str, field: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Though files of those names lie there, and the command line would read them."""
    (tmp_path / "own.toml").write_text("span = 190\n")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(Refusal) as refused:
        begun(work(**{field: name}))
    assert refused.value.field == field
    assert str(tmp_path) not in refused.value.sentence


def test_a_span_that_is_a_files_name_is_no_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "190.toml").write_text("span = 150\n")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(Refusal):
        begun(work(hand="190.toml"))


@pytest.mark.parametrize("name", ["../pyproject.toml", "/etc/passwd", "harrow-lane.abc", ""])
def test_only_bundled_tunes_are_found_by_name(name: str) -> None:
    with pytest.raises(Refusal):
        begun(Work(Source(bundled=name)))


def test_a_chart_is_refused_at_its_line() -> None:
    with pytest.raises(Refusal) as refused:
        begun(work("title: Stove\nkey: D\nmetre: 4/4\n\n| D | Hm |\n"))
    assert (refused.value.line, refused.value.field) == (5, "tune")
    assert refused.value.column is not None


def test_pins_and_forbids_are_told_apart() -> None:
    with pytest.raises(Refusal) as pinned:
        begun(replace(work(), pins=("1: 99-0-0",)))
    with pytest.raises(Refusal) as forbidden:
        begun(replace(work(), forbids=("1: hop",)))
    assert (pinned.value.field, forbidden.value.field) == ("pins", "forbids")


def test_a_level_holds_its_caps() -> None:
    """Level 1 of a song asks for one finger or two; nothing of it may be broken."""
    from undersong.levels import levels_for
    from undersong.rated import rated_bars

    level = levels_for("song")[0]
    begins = begun(replace(work(level=1), tune=Source(bundled="lantern-path")))
    found = session_of(begins).arrange(begins.weights, begins.conditions)
    assert found.style.manner == level.bass
    down = max(sum(f >= 0 for f in set(choice.grip.fingers)) for choice in found.choices)
    assert level.fingers is not None
    assert down <= level.fingers
    _, shifts = rated_bars(found.choices, found.moments, found.instrument, found.hand)
    assert level.shifts is None or max(shifts.values()) <= level.shifts


def test_works_that_ask_the_same_are_equal() -> None:
    for name in corpus.names()[:4]:
        same = [begun(Work(Source(bundled=name))) for _ in range(2)]
        assert same[0] == same[1]
        assert hash(same[0]) == hash(same[1])


def test_a_files_suffix_says_what_it_is_as_for_commands() -> None:
    """ABC without its X: line looks like no ABC, but is called so."""
    abc = b'T:Stove\nM:4/4\nL:1/4\nK:D\n"D"DFAd|\n'
    assert begun(Work(Source(name="stove.abc", data=abc))).tune.title == "Stove"
