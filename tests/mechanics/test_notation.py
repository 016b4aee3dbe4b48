"""Layup notation: what textbooks write, round trips, and errors that point at the character."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compositekit.errors import ShapeError
from compositekit.mechanics.laminate import Laminate
from compositekit.mechanics.notation import Layup, read_layup, write_layup
from compositekit.mechanics.ply import Ply
from compositekit.units import Q_

BAR = "\u0305"


def ply(name, e1=40e9, e2=10e9, g12=4e9, nu12=0.27, thickness=0.2e-3):
    return Ply.from_si(name=name, thickness=thickness, e1=e1, e2=e2, g12=g12, nu12=nu12)


CORE = ply("core", e1=50e6, e2=50e6, g12=50e6 / 2.6, nu12=0.3, thickness=10e-3)
GLASS = ply("glass")
ONE = {"glass": GLASS, "core": CORE}
MANY = {"glass": GLASS, "glass-200": ply("glass-200"), "carbon": ply("carbon", e1=130e9), "core": CORE}

# textbook forms (Jones, Mechanics of Composite Materials, ch. 4, from memory): text -> angles from the outer face
FORMS = [
    ("[0/45/-45/90]s", [0, 45, -45, 90, 90, -45, 45, 0]),
    ("[0/45/-45/90]S", [0, 45, -45, 90, 90, -45, 45, 0]),
    ("[0/90]2s", [0, 90, 0, 90, 90, 0, 90, 0]),
    ("[0/90]_2s", [0, 90, 0, 90, 90, 0, 90, 0]),
    ("[0/90]_{2s}", [0, 90, 0, 90, 90, 0, 90, 0]),
    ("[0/90]₂s", [0, 90, 0, 90, 90, 0, 90, 0]),
    ("[0/90]2", [0, 90, 0, 90]),
    ("[30/0/90]T", [30, 0, 90]),
    ("[(0/90)2/±45]s", [0, 90, 0, 90, 45, -45, -45, 45, 90, 0, 90, 0]),
    ("[±45/0_2/90]", [45, -45, 0, 0, 90]),
    ("[+-45/0₂/-+30]", [45, -45, 0, 0, -30, 30]),
    ("[±45_2]", [45, -45, 45, -45]),
    ("[(±45)_2/0]", [45, -45, 45, -45, 0]),
    ("[+45/−30°]", [45, -30]),
    (f"[0/45/90{BAR}]s", [0, 45, 90, 45, 0]),
    (f"[0/45/9{BAR}0{BAR}]s", [0, 45, 90, 45, 0]),
    (" [ 0 / 22.5 ] s ", [0, 22.5, 22.5, 0]),
    ("[((0/90)2/45)2]", [0, 90, 0, 90, 45] * 2),
    # NASA CR-166617 Table B.1 (read): laminates 6 and 5, (±45/0/90₂/0/∓45)s and (0₂/45/0₃/90/0)s
    ("[±45/0/90₂/0/∓45]s", [45, -45, 0, 90, 90, 0, -45, 45, 45, -45, 0, 90, 90, 0, -45, 45]),
    ("[0₂/45/0₃/90/0]s", [0, 0, 45, 0, 0, 0, 90, 0, 0, 90, 0, 0, 0, 45, 0, 0]),
    ("[(45/0)₃/45/90]s", [45, 0, 45, 0, 45, 0, 45, 90, 90, 45, 0, 45, 0, 45, 0, 45]),
]


@pytest.mark.parametrize("text, degrees", FORMS, ids=[row[0].strip() for row in FORMS])
def test_textbook_forms(text, degrees):
    layup = read_layup(text, GLASS)
    assert list(layup.degrees) == degrees
    assert read_layup(write_layup(layup), GLASS) == layup


@pytest.mark.parametrize("text, names", [
    ("[0/90/core/90/0]", ["glass", "glass", "core", "glass", "glass"]),
    ("[0/core_2/0]", ["glass", "core", "core", "glass"]),
    (f"[0/core{BAR}]s", ["glass", "core", "glass"]),
])
def test_a_core_is_a_ply(text, names):
    layup = read_layup(text, ONE)
    assert list(layup.names) == names
    assert layup.laminate().thickness.m_as("mm") == pytest.approx(10 * names.count("core") + 0.2 * names.count("glass"))


@pytest.mark.parametrize("text", [
    "[0 carbon/90 glass-200/glass 45/core]", "[0carbon/90glass-200/45glass/core]", "[0_carbon/90_glass-200/45_glass/core]",
    "[carbon 0/glass-200 90/glass45/0 core]",
])
def test_named_plies_of_a_hybrid(text):
    layup = read_layup(text, MANY)
    assert layup.names == ("carbon", "glass-200", "glass", "core") and layup.degrees == (0, 90, 45, 0)


@pytest.mark.parametrize("degrees, text", [
    ([0, 45, -45, 90, 90, -45, 45, 0], "[0/±45/90]s"), ([0, 90] * 2 + [90, 0] * 2, "[0/90]2s"), ([0, 90, 0, 90], "[0/90]2"),
    ([0, 0, 0], "[0_3]"), ([45, -45, 45, -45, 0], "[±45_2/0]"), ([-45, 45], "[∓45]"), ([0, 90, 0], f"[0/90{BAR}]s"),
    ([22.5], "[22.5]"),
])
def test_written_short(degrees, text):
    assert write_layup(Layup(["glass"] * len(degrees), degrees, ONE)) == text


def test_the_laminate_is_the_one_read():
    layup = read_layup("[0/±45]s", GLASS)
    expected = Laminate([GLASS] * 6, Q_([0, 45, -45, -45, 45, 0], "deg"))
    np.testing.assert_array_equal(layup.laminate().abd, expected.abd)
    np.testing.assert_array_equal(layup.angles.m_as("deg"), layup.degrees)


ANGLE = st.one_of(st.integers(-180, 180), st.sampled_from([0, 45, -45, 90]),
                  st.floats(-180, 180).filter(lambda x: abs(x) > 6.4 or x == round(x)))   # small fractions may look like radians
STACK = st.lists(st.tuples(st.sampled_from(sorted(MANY)), ANGLE), min_size=1, max_size=8)


@given(STACK, st.integers(1, 3), st.sampled_from(["whole", "mirrored", "odd"]), st.sampled_from([MANY, ONE]))
def test_read_gives_back_what_write_wrote(stack, times, end, plies):
    stack = [(name if name in plies else "glass", angle) for name, angle in stack] * times
    stack += {"whole": [], "mirrored": stack[::-1], "odd": stack[:-1][::-1]}[end]
    layup = Layup(*zip(*stack, strict=True), plies)
    assert read_layup(write_layup(layup), plies) == layup


@given(st.text(alphabet="[]()/_s20945.±-+ gcore" + BAR, max_size=14))
def test_any_text_is_a_layup_or_a_plain_refusal(text):
    try:
        assert len(read_layup(text, ONE)) > 0
    except ShapeError as err:
        assert "expected" in str(err) or "looks like radians" in str(err) or "is not an angle" in str(err)


OWN = [   # text, the character the caret stands under (from nought, a bar takes no room), words
    ("", 0, r"expected \["), ("0/90", 0, r"expected \["), ("[]", 1, "expected an angle"), ("[0//90]s", 3, "expected an angle"),
    ("[0/90", 5, r"or \] to close"), ("[0/90)", 5, r"or \] to close"), ("[(0/90]", 6, r"or \) to close"),
    ("[0,90]", 2, "expected / and the next ply"), ("[0/9O]s", 4, "expected / and the next ply"),
    ("[0/90]x", 6, "expected the end"), ("[0/90]s2", 6, "expected the end"), ("[0/90]s s", 8, "expected the end"),
    ("[0/200]", 3, "not an angle from -180 to 180"), ("[0/foo]", 3, "glass, core"), ("[-/0]", 2, "expected an angle"),
    ("[0/1.5708]", 3, "1.5708 rad is 90 degrees"), ("[0/±0.7854]", 4, "0.7854 rad is 45 degrees"),
    ("[0/1.57]s", 3, "looks like radians"), ("[0_0/90]", 3, "nought repeats"), ("[0/90]0s", 6, "nought repeats"),
    ("[0_99999999]", 10, "more than 1000 plies"), ("[(0_500/90_500)9]", 15, "more than 1000 plies"),
    ("[" + "(" * 30, 11, "at most 10"), ("[glass/0]", 6, "not alike every way"),
    (f"[0/90{BAR}]", 5, "a mirrored layup"), (f"[0/90{BAR}/0]s", 5, r"expected \] after it"),
    (f"[(0/90{BAR})/0]s", 6, "not in a group"), (f"[0/90{BAR}]2s", 6, "is not repeated"), (f"[±45{BAR}]s", 4, "one angle under"),
    (f"[0/90{BAR}_2]s", 5, "stands once"),
]


@pytest.mark.parametrize("text, caret, words", OWN, ids=[row[0][:20] or "nothing" for row in OWN])
def test_an_error_points_at_the_character(text, caret, words):
    with pytest.raises(ShapeError, match=words) as caught:
        read_layup(text, ONE)
    said, shown, mark = str(caught.value).split("\n")
    assert said.startswith("layup, character ") and shown == f"  {text}"
    assert mark == "  " + " " * caret + "^"


def test_an_angle_without_a_name_must_be_clear():
    with pytest.raises(ShapeError, match="which ply"):
        read_layup("[0/90]", MANY)


OWN_OTHER = [
    (lambda: read_layup(None, GLASS), "is text"), (lambda: read_layup("[0]", {}), "plies must be"),
    (lambda: read_layup("[0]", {"glass": 3}), "plies must be"), (lambda: read_layup("[0]", {"2nd": GLASS}), "start with a letter"),
    (lambda: read_layup("[0]", {"glass_2": GLASS}), "cannot be a ply's name"), (lambda: write_layup("[0]"), "a Layup is wanted"),
    (lambda: Layup([], [], ONE), "0 names"), (lambda: Layup(["wood"], [0], ONE), '"wood"'),
    (lambda: Layup(["glass"], [float("nan")], ONE), "not an angle"), (lambda: Layup(["glass"], [np.pi / 2], ONE), "looks like radians"),
    (lambda: Layup(["glass"], [0, 90], ONE), "1 names came with 2"),
]


@pytest.mark.parametrize("make, words", OWN_OTHER)
def test_bad_layup(make, words):
    with pytest.raises(ShapeError, match=words):
        make()
