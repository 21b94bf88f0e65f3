"""What each part of the window is for, in a few sentences, shown on the Why card."""

from typing import Final

NOTHING: Final = "Select a finding, and it is explained here: why it matters, how it was measured, how to cure it."

HELP: Final = {
    "Plan": (
        "The site to scale. Drag a post, a pad, a line or the tip of a leaf; drag a leaf to swing it. "
        "Arrow keys move what is selected one unit, with Shift ten, with Alt a tenth. "
        "Alt refuses snaps, Esc gives a drag up. The wheel zooms; the middle button or the space bar moves the paper."
    ),
    "Value card": (
        "The facts of what is selected. Type a length as you read it from the tape, such as 14'1; Enter keeps it as "
        "taped. A mark of doubt, as in ~12', makes it a guess. An empty field means not known."
    ),
    "Trouble list": "What was found, worst first. Select a finding to see on the plan where it was measured.",
    "Yard list": "Everything on the plan in order. Select here what you want to see, change or move by keys.",
    "Why card": NOTHING,
    "Leaf dial": (
        "The angle of each leaf: drag, click or type it. Arrow keys step one degree, with Shift a tenth. "
        "Marks show where something is touched first, where a limit is reached, and the open stop."
    ),
    "Sheet tray": "The sheets as they will print. Click one to see it large. Export writes them into a folder.",
}
