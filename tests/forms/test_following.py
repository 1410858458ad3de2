"""Parts look again when a file has changed, and only then, for as long as they are there."""

import asyncio
import gc
from concurrent.futures import ThreadPoolExecutor

from cubital.forms import following


class Part:
    """Counts its looks."""

    def __init__(self):
        self.looks = asyncio.Queue()

    def look_again(self):
        self.looks.put_nowait(1)


def follow(tmp_path, scenario, monkeypatch, in_own_loop):
    monkeypatch.setattr(following, "EVERY_S", 0)
    path = tmp_path / "answers.json"

    async def run():
        part = Part()
        following.follow(path, part)
        await scenario(path, part)

    in_own_loop(run)


def test_a_file_that_comes_changes_and_goes_is_looked_at_each_time(
    tmp_path, monkeypatch, in_own_loop
):
    async def scenario(path, part):
        for change in (lambda: path.write_text("a"), lambda: path.write_text("ab"), path.unlink):
            change()
            await part.looks.get()
            assert part.looks.empty()

    follow(tmp_path, scenario, monkeypatch, in_own_loop)


def test_every_part_hears_of_it_and_a_fault_in_one_ends_nothing(tmp_path, monkeypatch, in_own_loop):
    async def scenario(path, part):
        class Broken(Part):
            def look_again(self):
                super().look_again()
                raise ValueError("no look")

        faults = []
        asyncio.get_running_loop().set_exception_handler(lambda _loop, what: faults.append(what))
        broken = Broken()
        following.follow(path, broken)
        for text in ("a", "ab"):
            path.write_text(text)
            await part.looks.get()
            await broken.looks.get()
        assert len(faults) == 2

    follow(tmp_path, scenario, monkeypatch, in_own_loop)


def test_a_file_that_nobody_shows_any_more_is_followed_no_longer(
    tmp_path, monkeypatch, in_own_loop
):
    monkeypatch.setattr(following, "EVERY_S", 0)
    path = tmp_path / "answers.json"

    async def run():
        part = Part()
        following.follow(path, part)
        assert path in following._followed
        del part
        gc.collect()
        while path in following._followed:
            await asyncio.sleep(0)

    in_own_loop(run)


def test_outside_a_running_page_nothing_is_followed(tmp_path):
    with ThreadPoolExecutor(1) as thread:  # no loop runs there
        thread.submit(following.follow, tmp_path / "answers.json", object()).result()
    assert tmp_path / "answers.json" not in following._followed
