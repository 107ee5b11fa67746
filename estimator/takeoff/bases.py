"""What the rules of a pricebook count, in words."""

from __future__ import annotations

from estimator.sentences import Sentence, say

BASES: dict[str, Sentence] = {
    "attachments": say("attachments"),
    "modules": say("modules"),
    "row_segments": say("row segments"),
    "column_segments": say("column segments"),
    "runs": say("runs"),
    "run_length": say("run length"),
    "mid_clamps": say("mid clamps"),
    "end_clamps": say("end clamps"),
    "pieces": say("pieces"),
    "cuts": say("cuts"),
    "splices": say("splices"),
    "expansion_splices": say("expansion splices"),
    "bars": say("bars"),
    "arrays": say("arrays"),
    "roofs": say("roofs"),
    "power": say("power"),
    "job": say("job"),
}
