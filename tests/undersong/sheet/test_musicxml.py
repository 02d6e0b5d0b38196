"""MusicXML worked by hand: what stands in the file for music that is known.

Source of elements and their order: the MusicXML 4.0 specification and its schema, which every
document here is held against.
"""

from dataclasses import replace
from random import Random

import pytest
from lxml import etree

from fretboard.presets import instrument
from solver.result import Arrangement
from solver.style import Style
from tests.tune.musicxml_score import valid
from tests.undersong.arranged import by_chance
from tests.undersong.passages import arranged, bar, style_of, tune_of
from tests.undersong.sheet.read_back import same_staff, same_tab
from tune.chord import QUALITIES, Chord
from tune.key import Key
from tune.readers.musicxml.harmony import CHORD_KINDS
from tune.time import QUARTER, Metre, Tempo
from tune.tune import Bar, ChordChange, Note, Tune
from undersong.sheet.errors import SheetError
from undersong.sheet.musicxml import musicxml_bytes, to_musicxml
from undersong.sheet.options import SheetOptions


def parsed(made: Arrangement, **options: bool) -> etree._Element:
    """The document's root, once the schema has accepted it and both parts read back."""
    document = musicxml_bytes(made, SheetOptions(**options))
    valid(document)
    if not options:
        same_tab(document, made, same_staff(document, made))
    return etree.fromstring(document)


def on_a(pattern: str = "bass-then-strum") -> Arrangement:
    """A bar of A as 4-4-6+, then a silent one: frets 7, 7 and 11 semitones on D3 A3 D4."""
    return arranged(
        tune_of(bar("A"), bar("-", number=2)),
        style_of("held", pattern),
        """
        7 x x  | M - - | 190 | b-- | root
        7 7 11 | M R T | 190 | -ms
        7 7 11 | M R T | 190 | -ms
        x x x  | - - - | 190 | ---
        """,
    )


def told(note: etree._Element) -> tuple[str, ...]:
    """What a tab note says: pitch, value, string, fret, printed fret, finger, how it ends."""
    ends = [e.get("type") for e in note.findall("notations/tied")]
    ends += [e.tag for e in note.findall("notations/articulations/*")]
    found = (
        (note.findtext("pitch/step") or "") + (note.findtext("pitch/octave") or ""),
        note.findtext("type"),
        *(note.findtext(f"notations/technical/{n}") for n in ("string", "fret")),
        note.findtext("notations/technical/other-technical"),
        note.findtext("notations/technical/fingering"),
        " ".join(ends),
    )
    return tuple(word or "" for word in found)


def test_a_tab_bar_has_strings_frets_printed_labels_and_fingers() -> None:
    """E4 and C#5 over A3. A half note may stand on the second of four beats. The C# sounds eleven
    semitones above D4, at the fret that players call 6+. All ring but the last, which the rest
    of the next bar ends."""
    first, second = parsed(on_a()).findall("part")[1].findall("measure")
    notes = first.findall("note")
    assert [told(note) for note in notes] == [
        ("A3", "quarter", "3", "7", "fret 4", "M", "let-ring"),
        ("E4", "half", "2", "7", "fret 4", "R", ""),
        ("C5", "half", "1", "11", "fret 6+", "T", ""),
        ("E4", "quarter", "2", "7", "fret 4", "R", ""),
        ("C5", "quarter", "1", "11", "fret 6+", "T", ""),
    ]
    assert [note.findtext("pitch/alter") for note in notes] == [None, None, "1", None, "1"]
    assert [note.find("chord") is not None for note in notes] == [False, False, True, False, True]
    (rest,) = second.findall("note")
    assert rest.find("rest").get("measure") == "yes"
    assert rest.get("print-object") is None, "a silent bar shows its rest"


def test_a_damped_bass_note_is_short_and_does_not_ring() -> None:
    first = parsed(on_a("damped-bass-then-strum")).findall("part")[1].find("measure")
    bass = first.find("note")
    assert told(bass) == ("A3", "quarter", "3", "7", "fret 4", "M", "staccato")


def test_lines_and_tuning_go_from_the_bottom_up() -> None:
    """Staff lines are numbered from the bottom: with the bass on top that is D4 A3 D3."""
    details = parsed(on_a()).find("part[2]/measure/attributes/staff-details")
    pitches = [t.findtext("tuning-step") + t.findtext("tuning-octave") for t in details[1:]]
    assert (details.findtext("staff-lines"), pitches) == ("3", ["D4", "A3", "D3"])
    assert [t.get("line") for t in details[1:]] == ["1", "2", "3"]
    turned = parsed(on_a(), bass_on_top=False).find("part[2]/measure/attributes/staff-details")
    assert [t.findtext("tuning-step") for t in turned[1:]] == ["D", "A", "D"]
    assert turned[1].findtext("tuning-octave") == "3"


def test_frets_count_from_the_capo_and_pitches_stay() -> None:
    """A capo at 3 (five semitones) on D3 A3 D4 sounds G3 D4 G4; fret 4 is then two above it."""
    on = instrument().with_capo(5)
    made = arranged(
        tune_of(bar("A")),
        style_of("held"),
        """
        7 x x | M - - | 190 | b-- | root
        7 5 5 | M - - | 190 | -ms
        7 5 5 | M - - | 190 | -ms
        """,
        on,
    )
    part = parsed(made).findall("part")[1]
    assert part.findtext("measure/attributes/staff-details/capo") == "5"
    notes = part.findall("measure/note")
    assert told(notes[0])[:5] == ("A3", "quarter", "3", "2", "fret 4")
    assert told(notes[1])[:5] == ("D4", "half", "2", "0", "fret 3")
    from_capo = parsed(made, from_capo=True).findall("part")[1].findall("measure/note")
    assert told(from_capo[0])[4] == "fret 1"
    assert told(from_capo[1])[4] == "fret 0"


def song() -> Tune:
    """A pickup, two verses, a triplet, ties, endings, and a change of metre, key and tempo."""
    eighth, third = QUARTER // 2, QUARTER // 3
    common, waltz = Metre(4, 4), Metre(3, 4)
    d, a = Key("D"), Key("A", "minor")
    notes = (
        Note(0, 3 * eighth, 66, "F#", lyrics=("har-", "")),
        Note(3 * eighth, QUARTER, 69, "A", lyrics=("row", "two")),
        Note(5 * eighth, eighth, 64, "E"),
        Note(6 * eighth, third, 64, "E", tuplet=(3, 2), marks=("finger 2",)),
        Note(6 * eighth + third, third, 65, "E#", tuplet=(3, 2)),
        Note(6 * eighth + 2 * third, third, 66, "F#", tuplet=(3, 2), marks=("hammer-on",)),
        Note(7 * eighth + eighth, 0, 67, "G", grace=True),
    )
    last = replace(notes[5], tied=True)
    bars = (
        Bar(0, common, QUARTER, d, (), (Note(0, QUARTER, 62, "D", lyrics=("O", "In")),)),
        Bar(1, common, common.bar, d, (ChordChange(0, Chord("D")), ChordChange(3 * QUARTER // 2,
            Chord("A", "7sus4", "E"))), (*notes[:5], last, notes[6]), "Verse", True),
        Bar(2, common, common.bar, d, (ChordChange(0, Chord("G", "add9")),),
            (Note(0, QUARTER, 66, "F#"), Note(QUARTER, 3 * QUARTER, None)), endings=(1,),
            repeat_times=2),
        Bar(3, common, common.bar, d, (ChordChange(0, None),),
            (Note(0, 4 * QUARTER, 62, "D", marks=("fermata",)),), endings=(2,)),
        Bar(4, waltz, waltz.bar, a, (ChordChange(0, Chord("F", "m7b5")),),
            (Note(0, QUARTER, 60, "C", marks=("open string",)),), tempo=Tempo(3 * QUARTER, 40)),
    )  # fmt: skip
    return Tune("Séance & <Tea>", d, common, Tempo(QUARTER, 96), bars, composer="Harrow Lane class",
                source="a biscuit tin", licence="CC0 1.0")  # fmt: skip


def sung() -> etree._Element:
    made = by_chance(song(), Style(), instrument(), Random(3), alike=1.0)
    return parsed(made)


def test_the_head_says_whose_tune_it_is_and_has_no_date() -> None:
    score = sung()
    assert score.findtext("work/work-title") == "Séance & <Tea>"
    assert score.findtext("identification/creator") == "Harrow Lane class"
    assert score.findtext("identification/source") == "a biscuit tin"
    assert score.findtext("identification/rights") == "CC0 1.0"
    assert score.find("identification/encoding/encoding-date") is None
    assert [p.findtext("part-name") for p in score.findall("part-list/score-part")] == [
        "Melody", "Dulcimer",
    ]  # fmt: skip


def test_bars_repeats_endings_metre_key_and_tempo_are_as_written() -> None:
    for part in sung().findall("part"):
        measures = part.findall("measure")
        assert [(m.get("number"), m.get("implicit")) for m in measures] == [
            ("0", "yes"), ("1", None), ("2", None), ("3", None), ("4", None),
        ]  # fmt: skip
        lines = [
            [(line.get("location"), *((e.tag, e.get("type") or e.get("direction"), e.get("number"))
              for e in line if e.tag != "bar-style")) for line in m.findall("barline")]
            for m in measures
        ]  # fmt: skip
        assert lines == [
            [],
            [("left", ("repeat", "forward", None))],
            [("left", ("ending", "start", "1")),
             ("right", ("ending", "stop", "1"), ("repeat", "backward", None))],
            [("left", ("ending", "start", "2")), ("right", ("ending", "discontinue", "2"))],
            [("right",)],
        ]  # fmt: skip
        assert measures[4].findtext("attributes/time/beats") == "3"
        assert measures[4].findtext("attributes/key/fifths") == "0"
        assert measures[4].findtext("attributes/key/mode") == "minor"
    staff = sung().find("part")
    tempi = [s.get("tempo") for s in staff.iter("sound")]
    assert tempi == ["96", "120"], "40 dotted halves are 120 quarters"
    marks = [[e.text for e in m if (e.text or "").strip()] for m in staff.iter("metronome")]
    assert marks == [["quarter", "96"], ["half", "40"]]
    assert len(staff.findall(".//beat-unit-dot")) == 1
    assert staff.findtext("measure[2]/direction/direction-type/rehearsal") == "Verse"


def test_notes_are_written_with_ties_tuplets_beams_and_signs() -> None:
    """Dotted quarter, then a quarter off the beat, tied at the middle of the bar; E sharp needs its
    sign, the tied F sharp none; the grace note G stands at the end of the bar."""
    notes = sung().findall("part")[0].findall("measure")[1].findall("note")
    assert [
        (n.findtext("type"), len(n.findall("dot")), "".join(t.get("type")[2] for t in
         n.findall("tie")), n.findtext("accidental") or "", n.findtext("beam") or "")
        for n in notes
    ] == [
        ("quarter", 1, "", "", ""),
        ("eighth", 0, "a", "", ""),
        ("eighth", 0, "o", "", "begin"),
        ("eighth", 0, "", "", "end"),
        ("eighth", 0, "", "", "begin"),
        ("eighth", 0, "", "sharp", "continue"),
        ("eighth", 0, "a", "", "end"),
        ("eighth", 0, "", "", ""),
    ]  # fmt: skip
    assert [n.findtext("time-modification/actual-notes") for n in notes][4:7] == ["3"] * 3
    assert [t.get("type") for n in notes for t in n.iter("tuplet")] == ["start", "stop"]
    assert notes[7].find("grace") is not None
    assert notes[4].findtext("notations/technical/fingering") == "2"
    assert [n.get("type") for n in notes[5].iter("hammer-on")] == ["start"]
    assert [n.get("type") for n in notes[6].iter("hammer-on")] == ["stop"]


def test_every_verse_has_its_syllables() -> None:
    staff = sung().find("part")
    words = [
        (lyric.get("number"), lyric.findtext("syllabic"), lyric.findtext("text"))
        for lyric in staff.iter("lyric")
    ]
    assert words == [
        ("1", "single", "O"), ("2", "single", "In"), ("1", "begin", "har"), ("1", "end", "row"),
        ("2", "single", "two"),
    ]  # fmt: skip
    # a word goes on over the note straight after it, where that has no word at all
    assert [len(lyric.findall("extend")) for lyric in staff.iter("lyric")] == [0, 0, 0, 1, 1]


def test_no_word_goes_on_over_a_rest() -> None:
    quarters = [Note(n * QUARTER, QUARTER, 62, "D") for n in range(4)]
    one, two, three = (
        replace(quarters[n], lyrics=(word,)) for n, word in ((0, "a"), (2, "b"), (3, "c"))
    )
    rest = replace(quarters[1], midi=None, name="")
    waiting = Bar(
        2, Metre(4, 4), 4 * QUARTER, Key("D"), (), (replace(rest, tick=0, length=4 * QUARTER),)
    )
    first = Bar(1, Metre(4, 4), 4 * QUARTER, Key("D"), (ChordChange(0, Chord("D")),),
                (one, rest, two, three))  # fmt: skip
    tune = replace(song(), bars=(first, waiting))
    staff = parsed(by_chance(tune, Style(), instrument(), Random(3), alike=1.0)).find("part")
    assert [lyric.findtext("text") for lyric in staff.iter("lyric")] == ["a", "b", "c"]
    assert not list(staff.iter("extend"))


def test_chords_have_kind_degrees_bass_and_their_place() -> None:
    """The chord on the fourth eighth begins with the note that begins there: no offset."""
    found = [
        (h.findtext("root/root-step"), h.findtext("kind"), h.find("kind").get("text"),
         h.findtext("bass/bass-step"), h.findtext("degree/degree-value"), h.findtext("offset"))
        for h in sung().find("part").iter("harmony")
    ]  # fmt: skip
    assert found == [
        ("D", "major", "", None, None, None),
        ("A", "suspended-fourth", "7sus4", "E", "7", None),
        ("G", "major", "add9", None, "9", None),
        ("C", "none", "N.C.", None, None, None),
        ("F", "half-diminished", "m7b5", None, None, None),
    ]


@pytest.mark.parametrize("quality", QUALITIES)
def test_every_quality_is_written_as_the_tones_that_it_has(quality: str) -> None:
    """The standard's own meaning of each kind (its "kind-value"), with an added degree."""
    made = replace(on_a(), tune=tune_of(bar("A"), bar("-", number=2)))
    tune = replace(
        made.tune, bars=(replace(made.tune.bars[0], chords=(ChordChange(0, Chord("A", quality)),)),
                         made.tune.bars[1])
    )  # fmt: skip
    score = etree.fromstring(valid(to_musicxml(replace(made, tune=tune)).encode()))
    harmony = score.find("part/measure/harmony")
    tones = {up % 12 for up in CHORD_KINDS[harmony.findtext("kind")].values()}
    tones |= {{7: 10, 9: 2}[int(d.text)] for d in harmony.iter("degree-value")}
    assert tones == {up for _, up in QUALITIES[quality]}


def test_a_passage_with_other_hands_is_written_out_and_says_so() -> None:
    first = replace(bar("D"), repeat_start=True, repeat_times=2)
    made = arranged(
        tune_of(first),
        style_of("held"),
        """
        0 x x | - - - | 100 | b-- | root
        0 0 4 | - - I | 140 | -ms
        0 0 4 | - - I | 140 | -ms
        0 0 4 | - - I | 140 | b-- | root
        0 5 4 | - M I | 140 | -ms
        0 5 4 | - M I | 140 | -ms
        """,
    )
    score = parsed(made)
    staff = score.find("part")
    assert len(staff.findall("measure")) == 2
    assert score.find(".//repeat") is None
    assert [w.text for w in staff.iter("words")] == ["1st time", "2nd time"]


def test_a_rhythm_that_no_value_has_is_refused_with_its_bar() -> None:
    odd = Note(0, 11, 62, "D")
    made = replace(on_a(), tune=tune_of(replace(bar("A"), notes=(odd,)), bar("-", number=2)))
    with pytest.raises(SheetError, match=r"^bar 1: a note"):
        to_musicxml(made)


def test_what_xml_cannot_hold_is_left_out() -> None:
    made = on_a()
    strange = replace(made, tune=replace(made.tune, title="Harrow\x00 \x0bLane\ud800"))
    score = etree.fromstring(valid(to_musicxml(strange).encode()))
    assert score.findtext("work/work-title") == "Harrow Lane"


def test_a_triplet_that_the_end_of_a_bar_cuts_off_is_written_all_the_same() -> None:
    """Such bars stand in old collections: the second half of the last third lies beyond 6/8."""
    sixth = QUARTER // 6
    lengths = (3 * QUARTER // 2, QUARTER, sixth, sixth, 2 * sixth)
    notes, clock = [], 0
    for length in lengths:
        notes.append(Note(clock, length, 62, "D"))
        clock += length
    odd = Bar(1, Metre(6, 8), clock, Key("D"), (ChordChange(0, Chord("D")),), tuple(notes))
    made = by_chance(tune_of(odd), Style(), instrument(), Random(1))
    assert len(parsed(made).findall("part/measure")) == 2
