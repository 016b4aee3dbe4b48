"""A million eight-ply laminates beside a plain loop in the same run; prints, asserts nothing.

OMP_NUM_THREADS=1 python tests/benchmarks/bench_laminates.py [how many]
The loops are timed on a part and given per laminate; all agree to the figure in the last column.
"""

from __future__ import annotations

import resource
import sys
import time

import numpy as np

from compositekit.mechanics.laminate import Laminate, reduced_stiffness, strain_rotation
from compositekit.mechanics.ply import Ply
from compositekit.mechanics.stacks import StiffnessTable
from compositekit.units import Q_

COUNT, DEEP, LOOPED, OBJECTS = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000, 8, 2000, 500
DEGREES = np.arange(-75, 91, 15)
PLIES = [Ply.from_si(name=f"{t} mm", thickness=t * 1e-3, e1=181e9, e2=10.3e9, g12=7.17e9, nu12=0.28)
         for t in (0.1, 0.125, 0.2, 0.3)]


def timed(function, *arguments):
    start = time.perf_counter()
    result = function(*arguments)
    return time.perf_counter() - start, result


def plain_loop(rows):
    """The textbook way: 3x3 matrices, ply by ply."""
    q = reduced_stiffness(181e9, 10.3e9, 7.17e9, 0.28)
    found = np.empty((len(rows), 3, 3, 3))
    for index, stack in enumerate(rows):
        thickness = [PLIES[row // len(DEGREES)].si.thickness for row in stack]
        z, blocks = -sum(thickness) / 2, np.zeros((3, 3, 3))
        for row, t in zip(stack, thickness, strict=True):
            turn = strain_rotation(np.radians(DEGREES[row % len(DEGREES)]))
            q_bar = turn.T @ q @ turn
            for power in (1, 2, 3):
                blocks[power - 1] += q_bar * ((z + t) ** power - z**power) / power
            z += t
        found[index] = blocks
    return found


def objects(rows):
    """One Laminate after another, with all it checks."""
    return np.array([[one.si.A, one.si.B, one.si.D] for one in (
        Laminate([PLIES[row // len(DEGREES)] for row in stack], Q_(DEGREES[stack % len(DEGREES)], "deg")) for stack in rows)])


def inverse(many, load):
    blocks = np.block([[many.A.magnitude, many.B.magnitude], [many.B.magnitude, many.D.magnitude]])
    return np.linalg.inv(blocks) @ load


def main():
    table = StiffnessTable(PLIES, Q_(DEGREES, "deg"))
    rows = np.random.default_rng(1).integers(0, len(table), (COUNT, DEEP), dtype=np.int32)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    took, many = timed(table.stacks, rows)
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024

    def apart(blocks):
        ours = np.stack([many.numbers[:len(blocks), k][:, [[0, 1, 2], [1, 3, 4], [2, 4, 5]]] for k in range(3)], axis=1)
        return np.max(np.abs(ours - blocks) / np.abs(blocks).max(axis=(0, 2, 3))[:, None, None])

    print(f"A, B, D of {COUNT} laminates of {DEEP} plies: {took:.2f} s, memory grew by {grown:.0f} MB")
    print(f"{'way':34} {'laminates/s':>12} {'ours is faster':>15} {'apart':>9}")
    print(f"{'table and product, in chunks':34} {COUNT / took:12.0f}")
    for name, way, number in (("loop over 3x3 matrices", plain_loop, LOOPED), ("loop over Laminate", objects, OBJECTS)):
        slow, blocks = timed(way, rows[:number])
        print(f"{name:34} {number / slow:12.0f} {slow / number / (took / COUNT):14.0f}x {apart(blocks):9.1e}")

    load = np.array([1e4, 0, 0, 0, 0, 0])
    some = table.stacks(rows[:100_000])
    solved, (strain, _) = timed(some.response, Q_(load[:3], "N/m"))
    inverted, answer = timed(inverse, some, load)
    scale = np.abs(answer[:, :3]).max()
    print(f"one load on {len(some)}: solved {solved:.2f} s, by inverse {inverted:.2f} s, "
          f"apart {np.max(np.abs(strain.magnitude - answer[:, :3])) / scale:.1e}")


if __name__ == "__main__":
    main()
