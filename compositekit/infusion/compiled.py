"""Loops compiled by numba and kept on disk, and one thread of BLAS while they run."""

from __future__ import annotations

import contextlib
import functools
import hashlib
import os
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from numba import config, njit
from threadpoolctl import ThreadpoolController

HOW = {"nogil": True, "error_model": "numpy"}


@functools.cache
def _sources(folder):
    """A digest of every module of a folder: numba itself looks only at the one file that a function stands in."""
    whole = hashlib.sha256()
    for path in sorted(Path(folder).glob("*.py")):
        whole.update(path.read_bytes())
    return whole.hexdigest()[:16]


def compiled(function):
    """The function compiled at its first call, free of the interpreter lock; kept on disk where a folder can be written.

    What is kept is let go as soon as any module beside it changes, since loops of one module are compiled into another's.
    """
    folder = os.path.dirname(function.__code__.co_filename)
    usual, config.CACHE_DIR = config.CACHE_DIR, os.path.join(folder, "__pycache__", f"loops-{_sources(folder)}")   # read as the loop is wrapped
    try:
        return njit(function, cache=True, **HOW)
    except RuntimeError:  # no folder for the cache: compile anew in each session
        return njit(function, **HOW)
    finally:
        config.CACHE_DIR = usual


_controller = functools.cache(ThreadpoolController)  # looking the libraries up takes longer than a small fill


class _Blas:
    """Who limits BLAS, and for how many runs at once."""

    def __init__(self):
        self.lock, self.running, self.limiter = threading.Lock(), 0, None
        self.setter = ThreadPoolExecutor(1, "blas threads")  # BLAS heeds only the first thread that sets a limit: let it always be this one


_blas = _Blas()
if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_blas.__init__)  # a forked process has none of its parent's threads


@contextlib.contextmanager
def one_blas_thread():
    """Limit BLAS to one thread until the last of all runs that overlap has ended: small products are slower on two."""
    with _blas.lock:
        if not _blas.running:
            _blas.limiter = _blas.setter.submit(_controller().limit, limits=1, user_api="blas").result()
        _blas.running += 1
    try:
        yield
    finally:
        with _blas.lock:
            _blas.running -= 1
            if not _blas.running:
                _blas.setter.submit(_blas.limiter.restore_original_limits).result()
