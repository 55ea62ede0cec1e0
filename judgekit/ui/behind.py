"""What is done behind the Floor: files read and written while keys count.

Disks may be slow and logs long, so all of it is done in threads; what comes of it is
told to the Floor, or to the desk.
"""

from __future__ import annotations

import asyncio
import threading
from contextlib import suppress
from functools import cached_property, partial
from typing import TYPE_CHECKING

from judgekit.core.errors import InputError
from judgekit.desk import Told
from judgekit.files.classrows import is_class
from judgekit.ui.panels import Known
from judgekit.ui.screens.heard import DeskNews
from judgekit.ui.screens.messages import Learnt
from judgekit.ui.views.naming import beside_number

if TYPE_CHECKING:
    from collections.abc import Callable, Coroutine, Mapping

    from textual.message import Message

    from judgekit.core.classmates import Classmate
    from judgekit.desk import Desk
    from judgekit.files.eventfolder import EventFolder
    from judgekit.ui.screens.messages import Arrived, Scaled

    Stopped = Callable[[], Mapping[str, int]]


class Behind:
    """An event's folder, as it grows; `tell` takes messages for the Floor.

    With a `whole` heat all of its lanes are this desk's, and somebody can be taken in.
    `stopped` is asked how many days ago who of today was stopped, by bib.
    """

    def __init__(
        self,
        folder: EventFolder | None,
        tell: Callable[[Message], object],
        *,
        whole: bool,
    ) -> None:
        self.folder = folder
        self.stopped: Stopped | None = None
        self._tell = tell
        self._whole = whole
        self._one_by_one = asyncio.Lock()
        self._tasks: set[asyncio.Task[None]] = set()
        self._names: dict[str, str] = {}
        self._unsure: dict[str, tuple[Classmate, ...]] = {}
        self._stopped: dict[str, int] = {}

    @cached_property
    def known(self) -> Known:
        """Who may be named on the Floor; who walks in is added to it."""
        folder = self.folder
        if folder is None:
            return Known()
        self._name_all(folder)
        return Known(
            athletes=self._names,
            judges={j.id: j.name for j in folder.event.judges},
            emergency=folder.event.emergency,
            joins=self._whole and is_class(folder.folder),
            unsure=self._unsure,
            written=folder.written_cards,
            stopped=self._stopped,
        )

    def _name_all(self, folder: EventFolder) -> None:
        self._names |= {
            a.bib: beside_number(a.name, a.show, a.bib) or a.bib
            for a in folder.athletes
        }

    def look_back(self) -> None:
        """Who of today was stopped on an earlier day; called in a thread."""
        if self.stopped is None:
            return
        with suppress(Exception):
            self._stopped.update(self.stopped())
            self._tell(Learnt())

    def meanwhile(self, doing: Coroutine[None, None, None]) -> None:
        """Do it beside what goes on."""
        task = asyncio.create_task(doing)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def arrives(self, desk: Desk, message: Arrived) -> None:
        """Somebody new: the desk tells of the lane once it is there."""
        from judgekit.ui.arrivals import arrive

        # Two at once would both be the next number.
        async with self._one_by_one:
            if self.folder is None:
                return
            take = partial(
                arrive, self.folder, desk, message.mate, boot_ms=message.boot_ms
            )
            try:
                found = await asyncio.to_thread(take)
            except (InputError, OSError) as error:
                says = f"Not taken in: {_why(error)}."
                self._tell(DeskNews(Told(says=says)))
                return
            if isinstance(found, tuple):
                self._asks_who(desk, found)
                return
            self._unsure.pop(message.mate.name, None)
            self.folder = found
            self._name_all(found)
        # Whoever closes the desk meanwhile waits for none of it.
        threading.Thread(target=self.look_back, name="stopped", daemon=True).start()

    def _asks_who(self, desk: Desk, found: tuple[Classmate, ...]) -> None:
        """Say so; a list that opened by itself would take keys meant for a lane."""
        name = found[0].name
        self._unsure[name] = found
        where = "w w asks" if len(desk.lanes) > 1 else "it stands behind w"
        self._tell(DeskNews(Told(says=f"{name} is not in yet, who is it? {where}.")))

    async def scales(self, desk: Desk, message: Scaled) -> None:
        """The card is read here, so that no press waits for it at the desk."""
        if self.folder is not None:
            with suppress(InputError, KeyError):  # the desk says what is wrong
                await asyncio.to_thread(
                    self.folder.cards.__getitem__, message.scale.substitute
                )
        desk.submit(
            message.lane, message.scale, boot_ms=message.boot_ms, key=message.key
        )


def _why(error: InputError | OSError) -> str:
    if isinstance(error, OSError):
        return f"the class's lists cannot be written, {error.strerror}"
    problem = error.problems[0]
    return "; ".join(filter(None, (problem.what, problem.right)))
