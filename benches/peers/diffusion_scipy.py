"""Diffusion in a section with SciPy's sparse matrices: what `Block::soak` does, written for one factorisation a length of step.

    diffusion_scipy.py CELLS STEPS     seconds and the mean at the end, as JSON

Finite volumes on the same quarter of the section, with the same sizes; four steps of first order after the jump of the bath, then
Crank and Nicolson with steps of equal length, so that the matrix is factorised twice (scipy.sparse.linalg.splu).
"""

import json
import sys
import time

import numpy as np
import scipy.sparse as sparse
from scipy.sparse.linalg import splu

HALF = (0.10, 0.06)
DIFFUSIVITY = (2e-11, 1e-11)
TIME = 1e8
DAMPED = 4  # halves of steps


def row(cells, half, diffusivity):
    """Flow between the cells of one row and from the bath, for a cell of width 1 across."""
    width = half / cells
    link = np.full(cells, diffusivity / width)
    link[-1] = 2 * diffusivity / width
    inner = np.concatenate([[0.0], link[:-1]])
    matrix = sparse.diags([inner[1:], -(link + inner), link[:-1]], [-1, 0, 1]) / width
    bath = np.zeros(cells)
    bath[-1] = link[-1] / width
    return matrix, bath


def main():
    cells, steps = int(sys.argv[1]), int(sys.argv[2])
    start = time.perf_counter()
    (a, bath_a), (b, bath_b) = (row(cells, *pair) for pair in zip(HALF, DIFFUSIVITY))
    one = sparse.identity(cells)
    matrix = (sparse.kron(one, a) + sparse.kron(b, one)).tocsc()
    source = np.kron(np.ones(cells), bath_a) + np.kron(bath_b, np.ones(cells))
    identity = sparse.identity(cells * cells, format="csc")
    step = TIME / steps
    c = np.zeros(cells * cells)
    damped = splu(identity - step / 2 * matrix)
    for _ in range(DAMPED):
        c = damped.solve(c + step / 2 * source)
    # The matrix of the half step of first order is that of the whole step of Crank and Nicolson.
    explicit = (identity + step / 2 * matrix).tocsr()
    for _ in range(steps - DAMPED // 2):
        c = damped.solve(explicit @ c + step * source)
    print(json.dumps({"seconds": time.perf_counter() - start, "mean": float(c.mean())}))


main()
