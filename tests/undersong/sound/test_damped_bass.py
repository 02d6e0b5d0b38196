"""Every bass note under the palm, though the right-hand pattern damps none."""

import undersong
from undersong.sound.plan import Pluck, plan_of
from undersong.sound.sound_options import SoundOptions


def test_damping_takes_the_bass_notes_and_no_others() -> None:
    arrangement = undersong.arrange("harrow-lane")
    plain = plan_of(arrangement, SoundOptions())
    damped = plan_of(arrangement, SoundOptions(damped=True))
    assert not any(note.damped for note in plain.notes)
    assert {note.bass for note in damped.notes if note.damped} == {True}
    assert all(note.damped == note.bass for note in damped.notes)
    plucked = [event for event in damped.events() if isinstance(event, Pluck)]
    assert any(event.damped for event in plucked)
    assert any(not event.damped for event in plucked)
