"""Slow jobs off the interface thread: PIN hashing, printing, warming imports.

A job's answer comes back on the interface thread, and the page is shown anew after it. A job that raises is
a bug or a broken world: it is never swallowed, it goes to ``trouble``.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from functools import partial
from typing import TypeVar

from PySide6.QtCore import QObject, Qt, Signal

T = TypeVar("T")


class Worker(QObject):
    """Runs each job in a thread of its own; ``settled`` is called after each answer was delivered.

    Meets ``kiosk.ui.hands.Background`` by shape. The interpreter waits at its end for jobs under way, so a
    print is never cut off; answers that come after ``close`` are dropped.
    """

    _came = Signal(object)

    def __init__(self, settled: Callable[[], None], trouble: Callable[[BaseException], None]) -> None:
        super().__init__()
        self._settled, self._trouble = settled, trouble
        self._lock = threading.Lock()
        self._open = True
        self.under_way = 0
        self._came.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    def __call__(self, job: Callable[[], T], then: Callable[[T], None]) -> None:
        """Run ``job`` elsewhere, then ``then`` with its answer on the interface thread."""
        self.under_way += 1
        threading.Thread(target=self._run, args=(job, then), name="kiosk-job").start()

    def close(self) -> None:
        """Deliver nothing any more."""
        with self._lock:
            self._open = False

    def _run(self, job: Callable[[], T], then: Callable[[T], None]) -> None:
        """Run a job in its thread and send its answer, or its exception, across."""
        try:
            answer = job()
        except BaseException as bug:  # surfaced on the interface thread, never swallowed
            self._send(partial(self._trouble, bug))
        else:
            self._send(lambda: then(answer))

    def _send(self, deliver: Callable[[], None]) -> None:
        """Send a delivery across, unless the window has closed."""
        with self._lock:
            if self._open:
                self._came.emit(deliver)

    def _deliver(self, deliver: Callable[[], None]) -> None:
        """Deliver one answer on the interface thread."""
        self.under_way -= 1
        try:
            deliver()
        except Exception as bug:
            self._trouble(bug)
            return
        self._settled()
