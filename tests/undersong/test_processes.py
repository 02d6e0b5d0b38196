"""Processes: how many there is room for, and that others hear no Ctrl-C."""

import multiprocessing as mp
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from undersong.processes import cores, deaf

UNIX = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no masks of signals")


def _blocked() -> bool:
    return signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, set())


@pytest.mark.skipif(not hasattr(os, "sched_setaffinity"), reason="the system has no affinity")
def test_processors_are_those_that_this_process_may_use() -> None:
    assert cores() == len(os.sched_getaffinity(0))
    code = (
        "import os; from undersong.processes import cores; "
        "os.sched_setaffinity(0, {min(os.sched_getaffinity(0))}); print(cores())"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "1"


@UNIX
def test_a_process_that_begins_meanwhile_never_hears_it_and_this_one_does_after() -> None:
    before = _blocked()
    with mp.get_context("spawn").Pool(1) as usual:
        assert usual.apply(_blocked) == before
    with deaf():
        assert _blocked()
        pool = mp.get_context("spawn").Pool(1)
    with pool:
        assert _blocked() == before
        assert pool.apply(_blocked)


@UNIX
def test_so_does_the_first_process_that_ever_begins(tmp_path: Path) -> None:
    """Python's own helper, which begins with it, lets signals through when it has begun."""
    script = tmp_path / "first.py"
    script.write_text(
        """
import multiprocessing as mp
import signal
from undersong.processes import deaf
def tell():
    print(signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, set()))
if __name__ == "__main__":
    process = mp.get_context("spawn").Process(target=tell)
    with deaf():
        process.start()
    process.join()
"""
    )
    told = subprocess.run([sys.executable, script], capture_output=True, text=True, check=True)
    assert told.stdout.split() == ["True"]


@UNIX
def test_ctrl_c_that_came_meanwhile_is_heard_at_the_end() -> None:
    code = """
import os, signal
from undersong.processes import deaf
try:
    with deaf():
        os.kill(os.getpid(), signal.SIGINT)
        print("deaf")
    print("never heard")
except KeyboardInterrupt:
    print("heard")
"""
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert told.stdout.split() == ["deaf", "heard"]
