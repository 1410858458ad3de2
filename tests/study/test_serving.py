"""One command serves a learner's folder; a second one opens its page there."""

import contextlib
import signal
import threading

import pytest

from cubital.study import folders, practice_pictures, serving, ways
from cubital.study.lab import Lab


@pytest.mark.parametrize("way", ways.WAYS.values(), ids=ways.WAYS)
def test_one_command_serves_a_folder_and_another_finds_its_address_and_way(tmp_path, way):
    opened = folders.lay_out(tmp_path, "ada.alder", "catheter-sizing")
    state = tmp_path / ".lab"
    with serving.only_one(state) as first, serving.only_one(state) as second:
        assert (first, second) == (True, False)
    with serving.only_one(state) as again:
        assert again
    running = Lab(opened.folder, state, port=1, way=way)
    other = Lab(opened.folder, state, port=2)
    with pytest.raises(RuntimeError, match="give the command again in a moment"):
        other.join()
    running.tell_address()
    other.join()
    assert other.way is way
    assert other.url(opened.notebook) == running.url(opened.notebook)


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_request_to_end_ends_the_command_as_ctrl_c_does(name):
    number = getattr(signal, name)
    before = signal.getsignal(number)
    with pytest.raises(KeyboardInterrupt), serving.ended_by_signals():
        signal.raise_signal(number)
    assert signal.getsignal(number) == before


def test_a_second_request_counts_once_the_first_had_its_time(monkeypatch):
    clock = iter([0.0, 5.0, 30.0])
    monkeypatch.setattr(serving.time, "monotonic", lambda: next(clock))
    with serving.ended_by_signals():
        for reaches in (True, False, True):
            with pytest.raises(KeyboardInterrupt) if reaches else contextlib.nullcontext():
                signal.raise_signal(signal.SIGTERM)


def test_a_request_to_end_is_heard_while_pictures_are_rendered(tmp_path, monkeypatch):
    rendering = threading.Event()

    def deaf(_folder):
        with contextlib.suppress(KeyboardInterrupt):
            rendering.set()
            signal.raise_signal(signal.SIGTERM)
        threading.Event().wait(60)

    monkeypatch.setattr(practice_pictures, "render_practice", deaf)
    with pytest.raises(KeyboardInterrupt), serving.ended_by_signals():
        practice_pictures.render_aside(tmp_path, lambda: True)
    assert rendering.is_set()
