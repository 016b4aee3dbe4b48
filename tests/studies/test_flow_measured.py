"""Own cases: what a trial panel's front says of the permeability, and how surely."""

import re

from compositekit.part import demo_parts, open_part
from compositekit.part.folders import DEMO
from compositekit.studies.flow_measured import measured_permeability


def logged():
    """Demo parts with a front log that can be read."""
    for name in demo_parts():
        file = open_part(DEMO / name / "part.json")
        found, said = measured_permeability(file.part, file.catalogue, file.folder)
        if found:
            yield found, said


def test_says_how_surely():
    seen = 0
    for found, said in logged():
        shares = [float(text) for text in re.findall(r"known to ± (\S+) %", said)]
        assert len(shares) == len(found) and all(0 < share < 20 for share in shares)
        assert "95 times of 100" in said and "about 10 %" in said
        seen += 1
    assert seen
