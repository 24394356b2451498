"""Work done aside: only the last asked for counts, the page stays free meanwhile, faults come in words."""

import asyncio
import threading
import time

import pytest

from workbook import aside
from workbook.aside import Rested


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    monkeypatch.setattr(aside, "REST_S", 0.02)


def test_of_many_asked_for_only_the_last_is_worked_out_and_the_page_stays_free():
    done, got, threads = [], [], []

    def work(n):
        threads.append(threading.current_thread())
        time.sleep(0.05)
        done.append(n)
        return 10 * n

    async def page():
        one = Rested(work, got.append, got.append)
        assert [one.ask(n) for n in range(5)] == [True] * 5
        await asyncio.sleep(0.04)
        assert not got
        await asyncio.sleep(0.2)

    asyncio.run(page())
    assert done == [4] and got == [40] and threads[0] is not threading.main_thread()


def test_an_answer_that_comes_after_another_was_asked_for_is_dropped():
    got, slow = [], threading.Event()

    def work(n):
        if n == 1:
            slow.wait(2)
        return n

    async def page():
        one = Rested(work, got.append, got.append)
        one.ask(1)
        await asyncio.sleep(0.06)
        one.ask(2)
        await asyncio.sleep(0.1)
        slow.set()
        await asyncio.sleep(0.1)

    asyncio.run(page())
    assert got == [2]


def test_faults_are_told_in_words_and_a_script_waits_for_nothing():
    said, got = [], []

    def refuses(_):
        raise ValueError("A piece of 9 m is too large for the sheet.")

    def breaks(_):
        raise ZeroDivisionError("by nothing")

    assert Rested(refuses, got.append, said.append).ask(1) is False
    Rested(breaks, got.append, said.append).ask(1)
    assert Rested(lambda n: n + 1, got.append, said.append).ask(1) is False
    assert got == [2] and said == ["A piece of 9 m is too large for the sheet.", "That could not be worked out (ZeroDivisionError: by nothing)."]
