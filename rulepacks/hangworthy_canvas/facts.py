"""What only this pack asks of a work."""

from typing import Literal

from hangworthy.contract import Four, Pair, Section, ask

Fabric = Literal["linen", "cotton", "polyester", "jute", "other"]
BarFault = Literal["sound", "swollen", "split", "loose", "stained"]
EdgeFault = Literal["none", "loose-keys", "proud-staples", "screw-points", "wire-ends", "torn-edge"]


class CanvasFacts(Section):
    """A canvas on its stretcher."""

    fabric: Fabric = ask("Fabric", "What is the canvas woven from?", "Look at the bare back: linen is grey-brown, cotton is cream.")
    corner_gaps_mm: Four = ask(
        "Corner gaps",
        "How far does each corner stand off a flat table?",
        "Lay it face down on a flat table, on clean paper. Go round the four corners in order; slide a ruler under each.",
        tools=("flat-table", "steel-rule"),
        lo=0,
        hi=300,
    )
    edge_bow_mm: Four = ask(
        "Bow of the bars",
        "How far does each bar curve away from a straightedge?",
        "Lay a straight batten along the top, right, bottom and left bar. Give the widest gap under it for each.",
        tools=("straightedge", "feeler-gauges"),
        lo=0,
        hi=300,
    )
    diagonals_mm: Pair = ask(
        "Diagonals",
        "How long are the two diagonals?",
        "Measure from corner to corner with a steel tape.",
        tools=("steel-tape",),
        lo=10,
        hi=30_000,
    )
    billow_mm: float = ask(
        "Belly",
        "How deep is the belly of the canvas?",
        "Hold a straight batten across the front, near the middle, without touching the paint. Give the widest gap.",
        tools=("straightedge", "steel-rule"),
        lo=0,
        hi=500,
    )
    press_force_n: float = ask(
        "Press force",
        "With what force was the middle pressed?",
        "Read a spring scale; 1 kgf is 9.81 N.",
        lo=0.05,
        hi=50,
        asked_of="coordinator",
    )
    press_deflection_mm: float = ask(
        "Press depth",
        "How far did the middle give way?",
        "Against a batten, on the back, with a soft pad.",
        lo=0.05,
        hi=200,
        asked_of="coordinator",
    )
    press_patch_mm: float = ask("Press pad", "How wide is the square pad?", "Its side.", lo=5, hi=300, asked_of="coordinator")
    tap_hz: float = ask(
        "Tap note",
        "What is the lowest note when the middle is tapped on the back?",
        "Tap softly with a fingertip; read the lowest peak on a spectrum app.",
        lo=1,
        hi=500,
        asked_of="coordinator",
    )
    areal_mass_kg_m2: float = ask(
        "Weight of the canvas per area",
        "How heavy is the painted canvas per square metre?",
        "Weigh an offcut, or ask the maker; primed and painted linen is often 0.4 to 1 kg/m².",
        lo=0.05,
        hi=10,
        asked_of="coordinator",
    )
    bar_width_mm: float = ask("Bar width", "How wide are the stretcher bars?", "Across the bar, seen from the back.", lo=10, hi=200)
    bar_depth_mm: float = ask("Bar depth", "How deep are the stretcher bars?", "From front to back.", lo=5, hi=150)
    horizontal_braces: int = ask(
        "Horizontal braces", "How many cross bars run from left to right?", "Count them at the back; 0 for none.", lo=0, hi=20
    )
    vertical_braces: int = ask(
        "Vertical braces", "How many cross bars run from top to bottom?", "Count them at the back; 0 for none.", lo=0, hi=20
    )
    corner_brace_mm: float = ask(
        "Corner braces",
        "How far along the bars do corner braces reach?",
        "From the inner corner to where the brace meets the bar; 0 for none.",
        lo=0,
        hi=3_000,
    )
    keyed: bool = ask("Keys", "Are there wooden keys in the corners?", "Small wedges in slots at the back corners, which can be tapped in.")
    bar_condition: tuple[BarFault, ...] = ask(
        "Condition of the bars",
        "What is wrong with the bars, if anything?",
        "Press each joint, look for cracks, swelling and stains. Choose sound when there is nothing.",
    )
    age_days: float = ask(
        "Days since finished",
        "How long ago was the last paint or varnish put on?",
        "Count from the last coat: “3 weeks” will do. Where the day is given on which you finished it, we count ourselves.",
        since="finished_on",
        lo=0,
        hi=100_000,
    )
    edge_faults: tuple[EdgeFault, ...] = ask(
        "Edges and back",
        "Is anything loose or standing proud at the edges or the back?",
        "Run a cloth along the edges and the back. Choose none when it glides.",
    )
