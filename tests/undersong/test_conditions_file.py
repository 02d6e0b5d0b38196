"""What is asked of the whole tune, read from a TOML file and from the command line."""

import re
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import corpus
from fretboard.errors import FretboardError
from fretboard.hand import Hand
from fretboard.presets import instrument
from solver.conditions import NONE, Conditions
from solver.conditions.alike import Alike
from solver.conditions.bars import WHOLE, Bars
from solver.conditions.costliest import Costliest
from solver.conditions.few_shapes import FewShapes, LearnedShape
from solver.conditions.pinned import Barred, BassManner, BassNote, FingerDown, OneString
from solver.conditions.pins import Pin, manners_of
from solver.conditions.quota import Quota
from solver.errors import ConditionError
from solver.graph import build_graph
from solver.held import Held
from solver.moments import moments_of
from solver.pinning import masks_of
from solver.style import Style
from tests.undersong.running import run
from tune.readers import read
from undersong.cli.conditions import ConditionsAsked, condition_options, conditions_of
from undersong.conditions_file import KEYS, beside, read_wishes

STANDARD = instrument()
NOTHING = ConditionsAsked(*[None] * 5, (), (), (), (), (), None, None)


def asked_by(text: str, folder: Path) -> Conditions:
    """The conditions of a file."""
    path = folder / "mine.toml"
    path.write_text(text, encoding="utf-8")
    return read_wishes(path, "mine.toml", STANDARD).conditions()


def options(*arguments: str, tune: str = "harrow-lane") -> tuple[Conditions, str]:
    """The conditions that options ask for, and what is said on stderr."""
    taken: list[Conditions] = []

    @click.command()
    @condition_options
    def command(**given: Any) -> None:
        asked = ConditionsAsked.taken_from(given)
        assert not given
        taken.append(conditions_of(asked, tune, STANDARD))

    ended = CliRunner().invoke(command, arguments)
    if ended.exception is not None and not isinstance(ended.exception, SystemExit):
        raise ended.exception
    return (taken or [NONE])[0], ended.stderr


# The file.


def test_every_key(tmp_path: Path) -> None:
    assert asked_by(
        """
        alike = "sections"
        alike-price = 300
        shapes = 8
        known = ["3-1-0 TI", "4-2-1, 1-0-1"]
        known-price = 500
        at-most = ["2 shifts, B", "1 barred"]
        at-least = "3 passing"
        pin = ["B: manner walking", "5-8 beat 3: bass 3, middle M"]
        forbid = ["all: finger P", "9-12: barred"]
        costliest = 2
        """,
        tmp_path,
    ) == Conditions(
        Alike("sections", 300),
        FewShapes(
            8,
            (
                LearnedShape((5, 2, None), (0, 1, None)),
                LearnedShape((7, 4, 2)),
                LearnedShape((2, None, 2)),
            ),
            500,
        ),
        (
            Quota("shifts", most=2, bars=Bars(section="B")),
            Quota("barred", most=1),
            Quota("passing", least=3),
        ),
        (
            Pin(Bars(section="B"), BassManner("walking")),
            Pin(Bars(5, 8), OneString(0, 3, 5), beat=3),
            Pin(Bars(5, 8), OneString(1, 3, None, 2), beat=3),
            Pin(WHOLE, FingerDown(4), True),
            Pin(Bars(9, 12), Barred(), True),
        ),
        Costliest(2),
    )


def test_an_empty_file_asks_nothing(tmp_path: Path) -> None:
    assert asked_by("", tmp_path) == NONE


def test_known_shapes_may_lie_in_a_file_of_their_own(tmp_path: Path) -> None:
    (tmp_path / "class.txt").write_text("3-1-0 TI\n# next year\n4-2-1\n", encoding="utf-8")
    shapes = asked_by('known = "class.txt"', tmp_path).shapes
    assert shapes is not None
    assert shapes.known == (
        LearnedShape((5, 2, None), (0, 1, None)), LearnedShape((7, 4, 2)),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("shape = 8", ("mine.toml", "no key 'shape'", "at-most")),
        ("alike = 3", ("mine.toml", "alike must be text in quotes", "not 3")),
        ('alike = "verses"', ("mine.toml: alike", "'verses'", "repeats")),
        ('alike = "bars"\nalike-price = -1', ("mine.toml: alike-price", "between 0 and")),
        ("alike-price = 5", ("alike-price needs alike",)),
        ("shapes = true", ("shapes must be a whole number",)),
        ("shapes = -1", ("mine.toml: shapes", "0 or more")),
        ('shapes = "8"', ("shapes must be a whole number",)),
        ("known = 3", ("mine.toml: known", "'3' is no shape")),
        ("known = []", ("mine.toml: known", "no shape is written there")),
        ('known = " "', ("mine.toml: known", "no shape is written there")),
        ('known = "class.txt"', ("mine.toml: known", "'class.txt'", "no file is called so")),
        ('known = ["0-0-0"]', ("mine.toml: known", "needs no learning")),
        ('known = "."', ("mine.toml: known", "cannot be read")),
        ("known-price = 5", ("known-price needs known",)),
        ("at-most = 2", ("mine.toml: at-most", "'2'", "how many of what")),
        ('at-most = ["2 jumps"]', ("mine.toml: at-most", "'2 jumps'")),
        ("at-least = { a = 1 }", ("at-least must be a list of texts",)),
        ('pin = "bass 3"', ("mine.toml: pin", "a colon")),
        ('pin = ["5: bass 1+"]', ("mine.toml: pin", "no fret 1+ under the bass string")),
        ('forbid = ["5: manner held"]', ("mine.toml: forbid", "fixed, not forbidden")),
        ("costliest = 0", ("mine.toml: costliest", "1 to 1000")),
        ("costliest = 1.5", ("costliest must be", "whole number")),
        ("costliest", ("mine.toml: line 1, 'costliest', is", "a name, = and a value")),
        ("shapes = 3\nalike = repeats", ("mine.toml: line 2", 'quotes, such as alike = "repeats"')),
        ("shapes = 3\nshapes = 4", ("mine.toml: line 2", "say it once")),
        ("no more than 4 = 3", ("mine.toml: line 1", 'in quotes, such as "no more than 4" =')),
        ('pin = ["5: bass 3"', ("mine.toml: line 1", "close it with ]")),
        ('\n\nalike = "bars', ("mine.toml: line 3", "a text has no end")),
    ],
)
def test_what_a_file_may_not_say(text: str, says: tuple[str, ...], tmp_path: Path) -> None:
    with pytest.raises((ConditionError, FretboardError)) as refused:
        asked_by(text, tmp_path)
    for phrase in says:
        assert phrase in str(refused.value)
    assert "\n" not in str(refused.value)


values = st.recursive(
    st.one_of(st.booleans(), st.integers(-9, 99), st.text(max_size=8),
              st.sampled_from(("5: bass 3", "2 shifts", "3-1-0", "first", "bars"))),
    lambda inner: st.one_of(st.lists(inner, max_size=3),
                            st.dictionaries(st.sampled_from("ab"), inner, max_size=1)),
    max_leaves=4,
)  # fmt: skip


def toml(value: object) -> str:
    """A value in TOML."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(toml, value))}]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {toml(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, str):
        escaped = "".join(f"\\U{ord(letter):08X}" for letter in value)
        return f'"{escaped}"'
    return str(value)


@settings(
    max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.dictionaries(st.sampled_from(KEYS), values, max_size=4))
def test_whatever_a_file_says_is_read_or_refused(
    tmp_path: Path, written: dict[str, object]
) -> None:
    text = "\n".join(f"{key} = {toml(value)}" for key, value in written.items())
    try:
        asked_by(text, tmp_path)
        said = None
    except (ConditionError, FretboardError) as error:
        said = str(error)
    assert said is None or (said and "\n" not in said and not said.endswith("."))


def test_what_lies_beside_a_tune(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("mine.abc").write_text("X:1", encoding="utf-8")
    assert beside("mine.abc") is None
    Path("mine.conditions.toml").write_text("", encoding="utf-8")
    assert beside("mine.abc") == Path("mine.conditions.toml")
    assert beside(str(tmp_path / "mine.abc")) == tmp_path / "mine.conditions.toml"
    Path("harrow-lane.conditions.toml").write_text("", encoding="utf-8")
    for name in ("harrow-lane", "harrow-lane.abc", "-", "", "\0", "x" * 5000, ".", "..", "/"):
        assert beside(name) is None


# The options.


def test_every_option() -> None:
    found, said = options(
        "--alike", "repeats", "--alike-price", "200", "--shapes", "7", "--known", "3-1-0, 4-2-1",
        "--known-price", "50", "--at-most", "2 shifts, B", "--at-most", "1 barred",
        "--at-least", "3 passing", "--pin", "5: bass 3, middle M", "--forbid", "all: finger P",
        "--costliest", "first",
    )  # fmt: skip
    assert said == ""
    assert found == Conditions(
        Alike("repeats", 200),
        FewShapes(7, (LearnedShape((5, 2, None)), LearnedShape((7, 4, 2))), 50),
        (
            Quota("shifts", most=2, bars=Bars(section="B")),
            Quota("barred", most=1),
            Quota("passing", least=3),
        ),
        (
            Pin(Bars(5, 5), OneString(0, 3, 5)),
            Pin(Bars(5, 5), OneString(1, 3, None, 2)),
            Pin(WHOLE, FingerDown(4), True),
        ),
        Costliest(),
    )


def test_no_option_asks_nothing() -> None:
    assert options() == (NONE, "")
    assert conditions_of(NOTHING, "harrow-lane", STANDARD) == NONE


def test_frets_in_options_may_be_counted_from_the_capo() -> None:
    asked = ConditionsAsked(
        None, None, None, "1-0-0", None, (), (), ("1: bass 1",), (), (), None, None
    )
    found = conditions_of(asked, "harrow-lane", STANDARD.with_capo(5), from_capo=True)
    assert found.pins == (Pin(Bars(1, 1), OneString(0, 3, 7)),)
    assert found.shapes == FewShapes(known=(LearnedShape((7, None, None)),))


@pytest.fixture
def mine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A tune in the current folder with conditions beside it."""
    monkeypatch.chdir(tmp_path)
    Path("mine.abc").write_bytes(corpus.path("harrow-lane").read_bytes())
    text = 'shapes = 9\ncostliest = 3\nknown = "3-1-0"\npin = "1: bass 0"\nat-most = "2 shifts"'
    Path("mine.conditions.toml").write_text(text, encoding="utf-8")
    return "mine.abc"


def test_the_file_beside_the_tune_is_read_and_said(mine: str) -> None:
    found, said = options(tune=mine)
    assert found.shapes == FewShapes(9, (LearnedShape((5, 2, None)),))
    assert said == (
        "undersong: note: with the conditions in mine.conditions.toml; "
        "--conditions none leaves them out\n"
    )


def test_options_add_to_the_file_or_stand_in_its_place(mine: str) -> None:
    found, _ = options(
        "--shapes", "7", "--known", "4-2-1", "--pin", "2: bass note D", "--at-most", "1 barred",
        "--pin", "1: bass 0", tune=mine,
    )  # fmt: skip
    assert found.shapes == FewShapes(7, (LearnedShape((7, 4, 2)),))
    assert found.costliest == Costliest(3)
    assert found.quotas == (Quota("shifts", most=2), Quota("barred", most=1))
    assert found.pins == (
        Pin(Bars(1, 1), OneString(0, 3, 0)), Pin(Bars(2, 2), BassNote("D")),
    )  # fmt: skip


def test_another_file_or_none(mine: str) -> None:
    assert options("--conditions", "none", tune=mine) == (NONE, "")
    Path("other.toml").write_text("shapes = 3", encoding="utf-8")
    assert options("--conditions", "other.toml", tune=mine) == (
        Conditions(shapes=FewShapes(3)), "",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ("--alike verses", "--alike: nothing called 'verses'"),
        ("--alike-price 5", "conditions: alike-price needs alike"),
        ("--alike-price much", "--alike-price: write a whole number of ms"),
        ("--shapes few", "--shapes: write a whole number of shapes"),
        ("--known class.txt", "--known: 'class.txt' is no shape, and no file is called so"),
        ("--known 3-1", "--known: '3-1' has 2 frets"),
        ("--at-most many", "--at-most: 'many'"),
        ("--at-least 1", "--at-least: '1'"),
        ("--pin bass", "--pin: 'bass': write the bars"),
        ("--forbid 5:manner_held", "--forbid: 'manner_held' cannot be pinned"),
        ("--costliest last", "--costliest: write first"),
        ("--conditions other.toml", "--conditions: other.toml: there is no such file"),
    ],
)
def test_what_options_may_not_say(arguments: str, says: str, tmp_path: Path,
                                  monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    try:
        _, said = options(*arguments.split())
    except ConditionError as error:
        said = str(error)
    assert says in said
    assert "Traceback" not in said


# The page.


def test_the_page_is_printed_and_its_example_can_be_asked_of_harrow_lane(tmp_path: Path) -> None:
    page = run("conditions").out
    for key in KEYS:
        assert re.search(rf"\b{key} +=", page), key
    example = re.search(r"```toml\n(.*?)```", page, re.DOTALL)
    assert example is not None
    conditions = asked_by(example.group(1), tmp_path)
    tune, style, hand = read(str(corpus.path("harrow-lane"))), Style(), Hand()
    moments = moments_of(tune, style, 3, manners_of(tune, conditions.pins))
    graph = build_graph(moments, Held(STANDARD, hand, style))
    found = masks_of(graph, tune, conditions, STANDARD, hand, style)
    assert sum(mask is not None for mask in found) > 20
    for quota in conditions.quotas:
        assert quota.bars.of(tune)


def test_what_the_page_shows_as_pins_can_be_typed() -> None:
    page = run("conditions").out
    pins = page[page.index("PINS:") : page.index("A pin that a rule")]
    shown = re.findall(r"^  (\S.*?)(?:  +|$)", pins, re.MULTILINE)
    texts = [part for line in shown for part in line.split(", ")]
    assert len(texts) >= 12
    for text in texts:
        forbid = text in ("finger P", "barred")
        assert Pin.parse(f"5: {text}", forbid, STANDARD)
