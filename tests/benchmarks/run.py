"""Prints one table of ratios: ``python -m tests.benchmarks.run``.  Nothing here fails a test run.

Goals are held against the 20 % point of the ratios; a line that misses its goal says so.
"""

import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

from siteplan.model.document import Document
from siteplan.rules.all_rules import check_site
from tests.benchmarks.floors import analysis_floor
from tests.benchmarks.harness import Ratio, cpu, growth, ratio
from tests.benchmarks.sites import crowded_site, walled_site, warmed, with_leaf_moved
from tests.demo import ROOT, demo_site, path_of

SIZES = (500, 2000, 8000, 32000)
ANALYSIS_GOAL, GROWTH_GOAL, START_GOAL = 5.0, 0.2, 1.5
START_ROUNDS = 11
NOT_HANDED_DOWN = ("OPENBLAS_NUM_THREADS", "PYTHONDONTWRITEBYTECODE")


def say(what: str, found: str, goal: str) -> None:
    """Print one row."""
    sys.stdout.write(f"{what:<80} {found:<34} {goal}\n")


def judged(found: Ratio, goal: float) -> str:
    """Return the goal with a word on whether it is met."""
    return f"goal <= {goal:g}: {'met' if found.low <= goal else 'MISSED'}"


def frames_of(document: Document) -> Callable[[], object]:
    """Return what one frame of a drag works out: everything that hangs on a leaf, and all findings."""
    steps = count()
    return lambda: check_site(with_leaf_moved(document, next(steps)))


def analysis() -> None:
    """Full re-analysis with all findings after a leaf has changed, against the floor; and its growth."""
    for what, document in (
        ("all of them near", warmed(walled_site(SIZES[0]))),
        ("spread as dense as things can stand", warmed(crowded_site(SIZES[0]))),
    ):
        found = ratio(frames_of(document), analysis_floor(document))
        text = f"{found.middle:.2f} ({found.low:.2f} to {found.high:.2f}), {found.kernel_ms:.2f} ms"
        say(f"full re-analysis / floor, {SIZES[0]} segments, {what}", text, judged(found, ANALYSIS_GOAL))
    times = []
    for size in SIZES:
        frame = frames_of(warmed(crowded_site(size)))
        cpu(frame, 3)
        times.append(min(cpu(frame, 5) for _ in range(5)))
    exponent = growth(SIZES, times)
    text = f"{exponent:.3f} ({', '.join(f'{1e3 * each:.2f}' for each in times)} ms)"
    verdict = "met" if exponent <= GROWTH_GOAL else "MISSED"
    say("its growth at constant density, 500 to 32,000", text, f"goal <= {GROWTH_GOAL}: {verdict}")


def process_seconds(code: str) -> float:
    """Return the processor seconds of a fresh interpreter running some code, in the surroundings of a user.

    What this process has set for itself is not handed down: the floor is what anybody pays who loads the libraries;
    and modules are compiled once, as on any machine.
    """
    own = {name: value for name, value in os.environ.items() if name not in NOT_HANDED_DOWN}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    ended = subprocess.run([sys.executable, "-c", code], check=False, cwd=ROOT, capture_output=True, text=True, env=own)
    assert "Traceback" not in ended.stderr, ended.stderr
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def start(what: str, code: str, floor: str) -> None:
    """Time fresh interpreters in turns, as whole processes."""
    for each in (code, floor):
        process_seconds(each)
    found = sorted((process_seconds(code), process_seconds(floor)) for _ in range(START_ROUNDS))
    ratios = sorted(first / second for first, second in found)
    middle = Ratio(
        ratios[START_ROUNDS // 2],
        ratios[START_ROUNDS // 5],
        ratios[-1 - START_ROUNDS // 5],
        1e3 * found[START_ROUNDS // 2][0],
    )
    say(
        what,
        f"{middle.middle:.2f} ({middle.low:.2f} to {middle.high:.2f}), {middle.kernel_ms:.0f} ms",
        judged(middle, START_GOAL),
    )


EMPTY_WINDOW = (
    "import numpy, shapely; from PySide6.QtWidgets import QApplication, QMainWindow;"
    "a = QApplication([]); w = QMainWindow(); w.show(); a.processEvents()"
)
OUR_WINDOW = (
    "from pathlib import Path; from siteplan.windows.start import open_window;"
    "from PySide6.QtWidgets import QApplication;"
    f"w = open_window(Path(r'{path_of('hill-drive')}'), lambda *a: ()); w.show(); QApplication.processEvents()"
)
CHECK = (
    f"import sys; sys.argv = ['siteplan', 'check', r'{path_of('hill-drive')}'];"
    "from siteplan.commands.main import main; main()"
)


def frames() -> None:
    """Report the frames of a drag in the whole window; never judged, as times are those of this machine."""
    from tests.benchmarks.frames import drag_frames  # Qt is loaded only after the starts were timed

    for what, document in (("hill-drive", demo_site("hill-drive")), ("500 segments", crowded_site(500))):
        times = sorted(1e3 * each for each in drag_frames(document, "A"))
        middle, late = times[len(times) // 2], times[int(0.95 * len(times))]
        say(
            f"drag frame with paint, 1600 x 1000, {what}",
            f"p50 {middle:.1f} ms, p95 {late:.1f} ms",
            "aim p95 <= 16.7 ms",
        )


def sheets() -> None:
    """Report the time of all sheets of the courtyard pair in all three formats."""
    from siteplan.commands.export_sheets import export_sheets

    with TemporaryDirectory() as folder:
        begin = time.perf_counter()
        export_sheets(demo_site("courtyard-pair"), Path(folder))
        say("sheets of courtyard-pair, DXF + PNG + PDF", f"{time.perf_counter() - begin:.2f} s", "aim < 2 s")


def main() -> None:
    """Print the table."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    analysis()
    start("siteplan check on hill-drive / importing numpy + shapely", CHECK, "import numpy, shapely")
    start("start of the window / numpy + shapely + empty window", OUR_WINDOW, EMPTY_WINDOW)
    frames()
    sheets()


if __name__ == "__main__":
    main()
