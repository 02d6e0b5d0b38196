"""Advice on extra frets: each row is the answer that asking for it alone gives."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from fretboard.errors import FretboardError
from fretboard.frets import EXTRA_FRETS, fret_semitones
from fretboard.instrument import Instrument
from fretboard.presets import instrument
from solver.conditions import Conditions
from solver.conditions.pins import Pin
from solver.errors import ArrangeError, ConditionError, NotPlayable
from solver.out_of_reach import unreachable
from solver.style import Style
from solver.watch import Stopped, Watch
from tests.undersong.arranged import chart
from tests.undersong.collections import COLLECTIONS, collected, pitches
from tests.undersong.running import run
from tune.tune import Tune
from undersong.advice.all_frets import FretsAdvice, on_all
from undersong.advice.fretboards import Fretboard, with_frets, without_frets
from undersong.advice.frets import CANNOT, NO_EASIER, PLAYED, UNKNOWN, Outcome, Row, one_tune
from undersong.advice.frets_document import advice_schema, frets_json
from undersong.advice.frets_text import frets_text
from undersong.advice.losses import losses
from undersong.advice.piece import Piece
from undersong.api import read_tune
from undersong.chords import with_drone
from undersong.session import Session

IN_D = chart("key: D\nmetre: 4/4\n| D | G A7 | D |\n")
WITH_F = chart("key: D\nmetre: 4/4\n| D | F C | D |\n")
FRETS = tuple(map(fret_semitones, EXTRA_FRETS))
OWN = instrument()


def piece(tune: Tune, name: str = "a tune", **style: object) -> Piece:
    made = Style(**style)  # type: ignore[arg-type]
    return Piece(name, tune, style=lambda _: made)


def boards(own: Instrument = OWN) -> tuple[Fretboard, ...]:
    return without_frets(own, None) + with_frets(own, None)


# Which fretboards


def test_what_is_left_out_and_put_in_where_nothing_is_asked() -> None:
    assert [b.words for b in boards()] == [
        "without 6+", "with 1+", "with 8+", "with 13+", "with 1+, 8+, 13+",
    ]  # fmt: skip
    all_four = [b.words for b in boards(instrument("1+6+8+13+"))]
    assert all_four == [f"without {f}" for f in (*EXTRA_FRETS, "1+, 6+, 8+, 13+")]
    assert [b.words for b in boards(instrument("traditional"))][:2] == ["with 1+", "with 6+"]
    assert with_frets(instrument("chromatic"), None) == ()


def test_a_partial_fret_can_be_left_out_and_completed() -> None:
    words = [b.words for b in boards(instrument("partial-1+8+"))]
    assert "without 1+" in words
    assert "with 1+" in words


def test_frets_under_a_capo_are_let_alone() -> None:
    """Below it no fret counts, and at it the capo sits."""
    words = [b.words for b in boards(instrument("1+6+", capo="1+"))]
    assert "without 1+" not in words
    assert [b.words for b in with_frets(instrument(capo="3"), None)] == [
        "with 8+", "with 13+", "with 8+, 13+",
    ]  # fmt: skip


def test_groups_are_changed_together() -> None:
    (both,) = without_frets(instrument("1+6+"), ((3, 11),))
    assert both.instrument.courses == instrument("traditional").courses
    with pytest.raises(FretboardError, match=r"has the fret 6\+ under every course already"):
        with_frets(OWN, ((11,),))


# One tune


@pytest.mark.parametrize("tune", [IN_D, WITH_F], ids=["in D", "with F"])
@pytest.mark.parametrize("texture", ["song", "bass"])
def test_every_row_is_what_asking_for_it_alone_gives(tune: Tune, texture: str) -> None:
    made = piece(tune, texture=texture)
    for every in (True, False):
        row = one_tune(made, OWN, boards(), every=every)
        for on, outcome in zip((OWN, *(b.instrument for b in boards())), (row.own, *row.others),
                               strict=True):  # fmt: skip
            try:
                alone = Session(tune, instrument=on, style=made.style(on)).arrange()
            except NotPlayable:
                assert outcome.kind == CANNOT
                assert outcome.cost is None
                continue
            assert outcome.proven
            if outcome.kind == PLAYED:
                assert outcome.cost == alone.cost
                assert outcome.hardest == max(alone.difficulty.by_bar.values())
                assert outcome.median == alone.difficulty.median
            else:
                assert (outcome.kind, every) == (NO_EASIER, False)
                assert outcome.least is not None
                assert outcome.most is not None
                assert row.own.cost is not None
                assert row.own.cost <= outcome.least <= alone.cost <= outcome.most


def test_bounds_spare_searches_and_change_no_total() -> None:
    row = one_tune(piece(IN_D), OWN, boards(), every=False)
    assert NO_EASIER in [outcome.kind for outcome in row.others]
    solved = one_tune(piece(IN_D), OWN, boards())
    few, all_of_them = (FretsAdvice(OWN, boards(), (each,)).totals for each in (row, solved))
    for bounded, exact in zip(few, all_of_them, strict=True):
        assert (bounded.playable, bounded.easier, bounded.saved) == (
            exact.playable, exact.easier, exact.saved,
        )  # fmt: skip
        assert bounded.more_least <= exact.more_most <= bounded.more_most


def test_what_opens_is_named_with_its_reason() -> None:
    row = one_tune(piece(WITH_F), OWN, boards())
    assert row.own.kind == CANNOT
    assert "bar 2: F cannot be played: the bass string has no F" in row.own.why
    kinds = dict(zip([b.words for b in boards()], [o.kind for o in row.others], strict=True))
    assert kinds == {
        "without 6+": CANNOT, "with 1+": PLAYED, "with 8+": CANNOT, "with 13+": CANNOT,
        "with 1+, 8+, 13+": PLAYED,
    }  # fmt: skip


def test_what_not_even_all_frets_open_is_told_so_without_trying_each() -> None:
    never = chart("key: D\nmetre: 4/4\n| D | Eb | D |\n")
    row = one_tune(piece(never), OWN, boards())
    assert {outcome.kind for outcome in row.others} == {CANNOT}
    assert row.others[1].why.startswith("not even with 1+, 8+, 13+: bar 2: Eb cannot be played")
    for board in boards():
        with pytest.raises(NotPlayable):
            Session(never, instrument=board.instrument).arrange()


def test_a_tune_that_closes_has_bar_reason_and_mends() -> None:
    own = instrument("1+6+")
    row = one_tune(piece(WITH_F), own, without_frets(own, None), mends=True)
    without = row.others[0]
    assert without.why.startswith("bar 2: F cannot be played")
    assert any("for F in bar 2" in mend for mend in without.mends), without.mends


def test_losses_and_bars_are_those_of_the_answer_without() -> None:
    minor = chart("key: D minor\nmetre: 4/4\n| Dm | Gm | A | Dm |\n")
    own = instrument("1+6+")
    (without,) = without_frets(own, ((3,),))
    row = one_tune(piece(minor), own, (without,))
    alone = Session(minor, instrument=without.instrument).arrange()
    mine = Session(minor, instrument=own).arrange()
    new = [tone for tone in losses(alone).tones if tone not in losses(mine).tones]
    assert new, "a minor third is gone with 1+"
    for tone in new:
        assert any(f"{tone.chord} in bar" in words for words in row.others[0].losses)
    apart = {
        moment.written + 1
        for moment, here, there in zip(mine.moments, mine.choices, alone.choices, strict=True)
        if (here.grip.frets, here.struck) != (there.grip.frets, there.struck)
    }
    told = row.others[0].differs
    assert apart == {
        bar
        for part in re.sub("bars? ", "", told).split(", ")
        for bar in range(int(part.split("-")[0]), int(part.split("-")[-1]) + 1)
    }


def test_a_melody_that_goes_to_the_bass_string_is_told_with_its_bars() -> None:
    """F4 lies on fret 8+ of a D3 string, and on no other fret of D-A-d with 6+ and 8+."""
    tune, more = read_tune("tallow-and-rush"), instrument().with_fret(fret_semitones("8+"))
    opens = enumerate(more.tuning)
    places = [(c, 65 - o) for c, o in opens if 65 - o in more.frets(c)]
    assert places == [(0, fret_semitones("8+"))]
    found = losses(Session(tune, instrument=more, style=Style(texture="solo")).arrange())
    low = {bar.number for bar in tune.bars for note in bar.notes if note.midi == 65}
    assert low <= set(found.low)
    assert "on the bass string in bars 1, 2, 3, 7, 9 and 13" in found.words()[-1]
    usual = losses(Session("harrow-lane", style=Style(texture="solo")).arrange())
    assert not usual.low


def test_conditions_hold_on_every_fretboard_and_wrong_ones_are_faults() -> None:
    pins = Pin.parse("1: melody 6+", False, OWN)
    asked = replace(
        piece(chart("key: A\nmetre: 4/4\n| A | E | A |\n")), conditions=Conditions(pins=pins)
    )
    row = one_tune(asked, OWN, without_frets(OWN, None))
    assert row.own.kind == PLAYED
    assert row.others[0].kind == CANNOT
    assert "6+" in row.others[0].why
    wrong = Conditions(pins=Pin.parse("99: bass 3", False, OWN))
    with pytest.raises(ConditionError, match="99"):
        one_tune(replace(asked, conditions=wrong), OWN, boards())


def test_out_of_time_is_not_known_and_a_stop_is_a_stop() -> None:
    row = one_tune(piece(IN_D), OWN, boards(), Watch(seconds=0.0))
    assert {row.own.kind, *(o.kind for o in row.others)} == {UNKNOWN}
    assert not row.proven
    watch = Watch()
    watch.stop.now()
    with pytest.raises(Stopped):
        one_tune(piece(IN_D), OWN, boards(), watch)


# A repertoire


def made_up() -> FretsAdvice:
    """Rows by hand: three tunes, with 1+ and with 8+."""
    more = with_frets(OWN, ((3,), (15,)))

    def played(cost: int) -> Outcome:
        return Outcome(PLAYED, cost, cost, cost)

    no = Outcome(CANNOT, why="bar 1: no")
    rows = (
        Row("a", "A", played(1000), (played(900), Outcome(NO_EASIER, None, 1000, 1030))),
        Row("b", "B", no, (played(500), played(600))),
        Row("c", "C", played(800), (played(850), played(700))),
    )
    return FretsAdvice(OWN, more, rows)


def test_totals_add_up() -> None:
    with_1, with_8 = made_up().totals
    assert (with_1.playable, with_1.opened, with_1.closed) == (3, ("B",), ())
    assert (with_1.easier, with_1.saved) == (1, 100)
    assert (with_1.harder, with_1.more_least, with_1.more_most) == (1, 50, 50)
    assert (with_8.easier, with_8.saved) == (1, 100)
    assert (with_8.harder, with_8.more_least, with_8.more_most) == (1, 0, 30)


def test_which_helps_most_goes_by_tunes_then_by_ms_and_ties_are_told() -> None:
    advice = made_up()
    first, second, third = advice.rows

    def best(*rows: Row) -> list[str]:
        return [total.fretboard.words for total in replace(advice, rows=rows).best]

    def row(old: Row, *costs: int) -> Row:
        return replace(old, others=tuple(Outcome(PLAYED, ms, ms, ms) for ms in costs))

    assert best(first, second, third) == ["with 1+"], "the tune that both open costs less with it"
    assert best(first, row(second, 600, 600), third) == ["with 1+", "with 8+"]
    assert best(first, second, row(third, 850, 699)) == ["with 8+"], "it saves more"
    assert best(first, row(second, 9000, 1), row(third, 700, 799)) == ["with 1+"]
    only_8 = replace(second, others=(second.own, row(second, 9000).others[0]))
    assert best(row(first, 1, 1000), only_8) == ["with 8+"], "a tune more counts before all ms"
    assert best(row(first, 1000, 1001)) == []
    assert best() == []
    tied = replace(advice, rows=(first, row(second, 600, 600), third))
    assert "1+ or 8+ would help most, each alike" in frets_text(tied, "song", 400)


def test_the_page_says_what_a_fret_more_does() -> None:
    """Words by hand, for one tune and for many."""
    advice = made_up()

    def page(*rows: Row) -> str:
        return frets_text(replace(advice, rows=rows), "song", 400)

    many = page(*advice.rows)
    assert "1 more tune can be played (B)" in many
    assert "1 tune is easier, by 100 ms of hand work in all" in many
    assert "1 tune costs more, by 50 ms in all" in many
    assert "A fret more narrows the room behind the next one" in many
    first, second, _ = advice.rows
    assert "1+ would help most: with it the tune is easier, by 100 ms." in page(first)
    assert "1+ would help most: with it the tune can be played." in page(second)
    never = replace(second, others=(second.own, second.own))
    assert "none would help: not with one fret more can the tune be played." in page(never)
    late = replace(first, others=(Outcome(UNKNOWN, proven=False),) * 2)
    assert "Which fret more would help is not known" in page(late)
    for width in (40, 80, 120):
        text = frets_text(advice, "song", width)
        prose = [line for line in text.splitlines() if "  " not in line.strip()]
        assert max(map(len, prose)) <= width
        assert text.isascii()


def test_what_cannot_be_read_or_arranged_is_left_out_and_told() -> None:
    def broken() -> Piece:
        raise ArrangeError("it has no melody")

    pieces = [("good", lambda: piece(IN_D)), ("bad", broken)]
    advice = on_all(pieces, OWN, boards(), Watch(), 60.0)
    assert [row.title for row in advice.rows] == [IN_D.title]
    assert advice.left_out == (("bad", "it has no melody"),)
    assert "left out: bad: it has no melody" in frets_text(advice, "song")


# Against the trade: O'Neill's 1850, public domain, read from music21, never copied. TRADE.md, "Open
# data for tests" (V, no published count): every pitch on D-A-d on traditional frets in 1,178 of
# 2,009 tunes, with 6+ and 13+ in 1,449, with 1+ and 8+ too in 1,666.

SEVENTEEN = tuple(fret_semitones(str(number)) for number in range(1, 18))
BARE = replace(
    instrument("traditional"),
    courses=tuple(replace(c, frets=SEVENTEEN) for c in instrument("traditional").courses),
)
TRADE = {(): 1178, ("6+", "13+"): 1449, EXTRA_FRETS: 1666}


def reaching(tunes: list[Tune], labels: tuple[str, ...]) -> int:
    """How many melodies the program finds every note of."""
    made = BARE
    for label in labels:
        made = made.with_fret(fret_semitones(label))
    style = Style(texture="solo")
    return sum(not unreachable(tune, made, style) for tune in tunes)


def sounded(tunes: list[Tune], labels: tuple[str, ...]) -> int:
    """The same by sets of pitches, without the program's fretboards: frets from TRADE.md."""
    frets = {0, *SEVENTEEN, *({"1+": 3, "6+": 11, "8+": 15, "13+": 23}[label] for label in labels)}
    there = {open_ + fret for open_ in (50, 57, 62) for fret in frets}
    return sum(pitches(tune) <= there for tune in tunes)


def test_melodies_in_reach_of_a_sample_are_as_counted_by_pitch() -> None:
    tunes = [tune for tune in collected("oneills1850", 40) if pitches(tune)]
    counts = {labels: reaching(tunes, labels) for labels in (*TRADE, *((f,) for f in EXTRA_FRETS))}
    assert counts == {labels: sounded(tunes, labels) for labels in counts}
    few, more, most = (counts[labels] for labels in TRADE)
    assert few < more < most
    for labels, trade in TRADE.items():
        assert counts[labels] / len(tunes) == pytest.approx(trade / 2009, abs=0.1)


@pytest.mark.slow
def test_melodies_in_reach_of_o_neill_are_the_trades_counts() -> None:
    tunes = [tune for tune in collected("oneills1850") if pitches(tune)]
    counts = {labels: reaching(tunes, labels) for labels in TRADE}
    print(f"\n{len(tunes)} of {COLLECTIONS['oneills1850']} tunes read: {counts}")
    for labels, trade in TRADE.items():
        assert counts[labels] == pytest.approx(trade, rel=0.02)
    singles = {label: reaching(tunes, (label,)) for label in EXTRA_FRETS}
    print(f"one fret more than the traditional: {singles}")
    assert singles == {label: sounded(tunes, (label,)) for label in EXTRA_FRETS}


def test_the_frets_that_open_tunes_of_a_sample_are_those_that_have_their_notes() -> None:
    """The advice, every answer solved, against what pitches alone say: as solos over a drone, tunes
    of O'Neill's that the traditional frets lack a note of, and one that they do not."""
    tunes = [tune for tune in collected("oneills1850", 40) if pitches(tune)]
    lacking = [tune for tune in tunes if not sounded([tune], ())]
    chosen = [tune for tune in lacking if sounded([tune], EXTRA_FRETS)][:4]
    chosen += [*[tune for tune in lacking if tune not in chosen][:2], tunes[0]]
    solos = [piece(with_drone(tune), texture="solo") for tune in chosen]
    made = [(each.tune.title, lambda each=each: each) for each in solos]
    more = with_frets(BARE, tuple((fret,) for fret in FRETS))
    advice = on_all(made, BARE, more, Watch(300.0), 300.0)
    assert advice.playable == sounded(chosen, ())
    for label, total in zip(EXTRA_FRETS, advice.totals, strict=True):
        assert total.playable == sounded(chosen, (label,))
        assert len(total.opened) == total.playable - advice.playable
    counts = {f"with {label}": sounded(chosen, (label,)) for label in EXTRA_FRETS}
    assert advice.best
    assert {counts[t.fretboard.words] for t in advice.best} == {max(counts.values())}


# The command

TWO = """X:1
T:Gate Left Open
M:4/4
L:1/4
K:D
"D"D F A F|"G"G B "A7"A2|"D"d4|]

X:2
T:Gate Shut
M:4/4
L:1/4
K:Dm
"Dm"D F A F|"F"F A "C"G2|"Dm"d4|]
"""


def test_the_command_on_one_tune_agrees_with_arrange(tmp_path: Path) -> None:
    (tmp_path / "two.abc").write_text(TWO)
    file, out = str(tmp_path / "two.abc"), tmp_path / "out.json"
    ended = run("frets", file, "--choose", "Gate Left Open", "--to", str(out), "--to", "-")
    assert (ended.code, ended.lines) == (0, [])
    document = json.loads(out.read_text())
    Draft202012Validator(advice_schema()).validate(document)
    for place, name in enumerate(("traditional", "1+6+")):
        answer = tmp_path / f"{name}.json"
        asked = ("arrange", file, "--choose", "1", "--instrument", name, "--to", str(answer))
        assert run(*asked).code == 0
        alone = json.loads(answer.read_text())
        outcome = document["tunes"][0]["others"][place]
        assert outcome["cost"] == alone["cost"]["total"]
    assert "Gate Left Open: song, standard instrument (extra frets: 6+)" in ended.out


def test_the_command_on_a_folder_names_every_tune(tmp_path: Path) -> None:
    (tmp_path / "two.abc").write_text(TWO)
    (tmp_path / "third.chart").write_text("title: Third\nkey: D\nmetre: 4/4\n| D | G | D |\n")
    (tmp_path / "wrong.chart").write_text("title: Wrong\nkey: D\nmetre: 4/4\n| Q |\n")
    (tmp_path / "notes.md").write_text("no tune")
    out = tmp_path / "out.json"
    ended = run("frets", str(tmp_path), "--with", "1+", "--to", str(out), "--to", "-")
    assert ended.code == 0
    assert "One fret more to ask a maker for: 1+ would help: 1 more tune can be played" in ended.out
    assert "Gate Shut, as it is: bar 2: F cannot be played" in ended.out
    document = json.loads(out.read_text())
    Draft202012Validator(advice_schema()).validate(document)
    assert [tune["title"] for tune in document["tunes"]] == ["Third", "Gate Left Open", "Gate Shut"]
    (wrong,) = document["left_out"]
    assert "wrong.chart" in wrong["name"]
    assert document["helps_most"] == ["1+"]


def test_tunes_of_one_number_and_conditions_beside_a_file_are_each_tunes_own(
    tmp_path: Path,
) -> None:
    inside = tmp_path / "more"
    inside.mkdir()
    (inside / "same.abc").write_text(TWO.replace("X:2", "X:1").replace("Gate Shut", "Gate Ajar"))
    (inside / "same.conditions.toml").write_text('forbid = ["all: finger P"]\n')
    out = tmp_path / "out.json"
    for conditions, same in ((("--conditions", "none"), True), ((), False)):
        assert run("frets", str(tmp_path), *conditions, "--with", "1+", "--to", str(out)).code == 0
        tunes = json.loads(out.read_text())["tunes"]
        assert [tune["title"] for tune in tunes] == ["Gate Left Open", "Gate Ajar"]
        alone = tmp_path / "alone.json"
        chosen = ("--choose", "Gate Left Open", *conditions, "--to", str(alone))
        assert run("arrange", str(inside / "same.abc"), *chosen).code == 0
        assert tunes[0]["own"]["cost"] == json.loads(alone.read_text())["cost"]["total"]
        free = one_tune(piece(read_tune(inside / "same.abc", "Gate Left Open")), OWN, ())
        assert (free.own.cost == tunes[0]["own"]["cost"]) == same


def test_a_tune_lost_among_many_is_told_with_the_way_to_its_mends(tmp_path: Path) -> None:
    (tmp_path / "two.abc").write_text(TWO)
    file = str(tmp_path / "two.abc")
    ended = run("frets", file, "--instrument", "1+6+", "--without", "1+")
    assert "Gate Shut, without 1+: bar 2: F cannot be played" in ended.out
    assert "'undersong frets' with such a tune alone looks for what would mend it" in ended.out
    assert "1 fewer" in ended.out
    asked = ("frets", file, "--choose", "2", "--instrument", "1+6+", "--without", "1+")
    alone = run(*asked, "--width", "200")
    assert "mend: play F/C for F in bar 2" in alone.out or "mend: play F/A for F" in alone.out


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(advice_schema())
    document = json.loads(frets_json(made_up(), "song"))
    Draft202012Validator(advice_schema()).validate(document)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((), "name a tune, several, a folder"),
        (("nosuch",), "there is no bundled tune 'nosuch'"),
        (("harrow-lane", "nosuch.abc"), "nosuch.abc"),
        (("harrow-lane", "--without", "1+"), "--without: standard has no fret 1+"),
        (("harrow-lane", "--without", "7"), "--without: write extra frets such as 6+"),
        (("harrow-lane", "--with", "6+"), "--with: standard has the fret 6+ under every course"),
        (("harrow-lane", "--with", "15+"), "--with: there is no room for an extra fret 15+"),
        (("harrow-lane", "--with", "x"), "--with: 'x' is no fret number"),
        (("harrow-lane", "--capo", "6+", "--without", "6+"), "--without: a capo cannot sit"),
        (("harrow-lane", "--to", "a.pdf"), ".txt or .json"),
        (("harrow-lane", "--texture", "loud"), "--texture"),
        ((".", "--choose", "1"), "a folder has no tune to choose"),
        (("harrow-lane", "--form", "tab"), "--form: there is no form 'tab'"),
        (("harrow-lane", "--pin", "99: bass 3"), "bar 99"),
        (("harrow-lane", "lantern-path", "--octave", "99=1"), "harrow-lane: --octave"),
    ],
)
def test_bad_input_is_one_sentence(arguments: tuple[str, ...], says: str) -> None:
    ended = run("frets", *arguments)
    assert (ended.code, ended.out) == (2, "")
    assert len(ended.lines) == 1, ended.told
    assert says in ended.lines[0]


def test_an_empty_folder_says_so(tmp_path: Path) -> None:
    ended = run("frets", str(tmp_path))
    assert ended.code == 2
    assert "there is no tune in it" in ended.lines[0]
