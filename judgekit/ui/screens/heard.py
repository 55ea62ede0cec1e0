"""News on their way from the desk's own thread to a screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.message import Message

if TYPE_CHECKING:
    from judgekit.desk import News


class DeskNews(Message, bubble=False):
    """One piece of news; posting it is safe from any thread."""

    def __init__(self, news: News) -> None:
        super().__init__()
        self.news = news
