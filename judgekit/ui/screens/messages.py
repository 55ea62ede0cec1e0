"""What a Floor asks of the app around it, and what the app asks of a Floor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from judgekit.core.classmates import Classmate
    from judgekit.core.entry import Scale
    from judgekit.desk import Desk


class Left(Message, namespace="judge_screen"):
    """The judge leaves the Floor: to a lane's scorecard, or to close the desk."""

    def __init__(self, lane: int, *, to_card: bool) -> None:
        super().__init__()
        self.lane = lane
        self.to_card = to_card


class Checks(Message, namespace="judge_screen"):
    """The judge goes to the check of a lane."""

    def __init__(self, lane: int) -> None:
        super().__init__()
        self.lane = lane


class Ready(Message, namespace="judge_screen"):
    """The log is read: here is the desk, or None where it was refused."""

    def __init__(self, desk: Desk | None) -> None:
        super().__init__()
        self.desk = desk


class Arrived(Message, namespace="judge_screen"):
    """The coach has named somebody new, at a moment of the boot clock."""

    def __init__(self, mate: Classmate, boot_ms: int) -> None:
        super().__init__()
        self.mate = mate
        self.boot_ms = boot_ms


class Scaled(Message, namespace="judge_screen"):
    """What a lane's athlete does instead; its card may have to be read first."""

    def __init__(self, lane: int, scale: Scale, boot_ms: int, key: str) -> None:
        super().__init__()
        self.lane = lane
        self.scale = scale
        self.boot_ms = boot_ms
        self.key = key


class Pressed(Message, bubble=False):
    """A key for all lanes, pressed where a scorecard covered the Floor."""

    def __init__(self, key: str, boot_ms: int) -> None:
        super().__init__()
        self.key = key
        self.boot_ms = boot_ms


class Grew(Message, namespace="judge_screen"):
    """The desk has more lanes than the screen can show."""


class Learnt(Message, bubble=False):
    """What is known of the athletes has grown."""


class Shared(Message, bubble=False):
    """What of the equipment several lanes have to share, once that is known."""

    def __init__(self, words: str) -> None:
        super().__init__()
        self.words = words
