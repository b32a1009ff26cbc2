"""Quick questions are answered one at a time, whoever came first, and the line is never deaf."""

from __future__ import annotations

import asyncio
import socket
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from crib.page.frame.desk_threads import DeskHere


def test_first_come_first_served_and_heard_between_two(crib: Path) -> None:
    told: list[str] = []
    ours, theirs = socket.socketpair()

    async def ask(desk: DeskHere, who: str) -> None:
        def work(_session: object) -> None:
            told.append(who)
            if who == "first":
                # A request that comes over the network while the first is answered.
                theirs.send(b"?")

        await desk.run(work)

    async def day() -> None:
        desk = DeskHere(crib)
        loop = asyncio.get_running_loop()
        heard = loop.create_future()

        def hears() -> None:
            loop.remove_reader(ours)
            told.append("heard")
            heard.set_result(loop.create_task(ask(desk, "who came later")))

        loop.add_reader(ours, hears)
        names = ("first", "second", "third", "fourth")
        await asyncio.gather(*(ask(desk, who) for who in names))
        await (await heard)
        desk.close()

    with ours, theirs, ThreadPoolExecutor(1) as pool:  # a browser's tests leave a loop in this one
        pool.submit(asyncio.run, day()).result()
    assert [who for who in told if who != "heard"] == [
        *("first", "second", "third", "fourth"),
        "who came later",
    ]
    assert told.index("heard") < told.index("third")
