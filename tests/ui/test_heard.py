"""What the disk does to a press is said, and stands until it is over."""

from __future__ import annotations

from judgekit.desk import Saved, Slow, Unsaved
from judgekit.ui.screens.heard import Standing


def test_a_slow_disk_is_said_with_what_waits_until_it_answers() -> None:
    standing = Standing()
    standing.hear(Slow(waiting=3, ms=500))
    assert standing.waiting == 3
    assert standing.unsaved == (
        "Not saved yet: the disk is slow. No press is lost; go on."
    )
    standing.hear(Saved())
    assert (standing.waiting, standing.unsaved) == (0, "")


def test_a_slow_disk_that_then_refuses_says_why() -> None:
    standing = Standing()
    standing.hear(Slow(waiting=1, ms=500))
    standing.hear(Unsaved(waiting=2, why="b could not be saved: the disk is full"))
    assert (standing.waiting, standing.unsaved) == (
        2,
        "Not saved, tried again each second: the disk is full",
    )
