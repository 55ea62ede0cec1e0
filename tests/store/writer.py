"""A process that keeps appending to a book and says each number once it is durable.

Called as: python -m tests.store.writer BOOK-FILE WHAT; `forever` appends without
end, `hold` opens the book, says so, and waits for its standard input to end.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from judgekit.core.entry import Session
from judgekit.store import sqlite
from tests.store.making import entry


def main(path: Path, what: str) -> None:
    book = sqlite.reopen(path)
    session = Session(start=True, host="dock", process=os.getpid())
    book.append([entry(book.last + 1, session)])
    sys.stdout.write(f"{book.last}\n")
    sys.stdout.flush()
    while what == "forever":
        book.append([entry(book.last + 1)])
        sys.stdout.write(f"{book.last}\n")
        sys.stdout.flush()
    sys.stdin.read()
    book.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2])
