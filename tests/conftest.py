"""What every test stands on: no screen, our own letters, and nothing left running behind it."""

import os
import threading
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

settings.register_profile(
    "tests",
    deadline=None,  # a busy machine is no fault of the program
    print_blob=True,
    derandomize=True,  # the same examples in every run; SITEPLAN_HYPOTHESIS=search looks for new ones
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("search", deadline=None, print_blob=True, max_examples=1000)
settings.load_profile(os.environ.get("SITEPLAN_HYPOTHESIS", "tests"))


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that writes goldens anew."""
    parser.addoption("--renew-golden", action="store_true", help="write the golden texts anew instead of comparing")


def threads_of_ours() -> set[str]:
    """Return the threads that run; those of Qt that once ran Python stay listed as dummies and are left out."""
    return {thread.name for thread in threading.enumerate() if not thread.name.startswith("Dummy-")}


def running_timers() -> list[str]:
    """Return the names of the owners of the timers that run in open windows."""
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication

    timers = (timer for window in QApplication.topLevelWidgets() for timer in window.findChildren(QTimer))
    return [type(timer.parent()).__name__ for timer in timers if timer.isActive()]


def delete_closed_windows() -> None:
    """Let Qt delete what waits for it; outside its event loop nobody else would."""
    from PySide6.QtCore import QEvent
    from PySide6.QtWidgets import QApplication

    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture(autouse=True)
def nothing_left_running(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail a test that leaves a thread, or a timer of a window."""
    before = threads_of_ours()
    yield
    if "qapp" in request.fixturenames:
        delete_closed_windows()
        assert running_timers() == []
    assert threads_of_ours() <= before
