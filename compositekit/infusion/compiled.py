"""Loops compiled by numba and kept on disk, and one thread of BLAS while they run."""

from __future__ import annotations

import contextlib
import functools
import threading
from concurrent.futures import ThreadPoolExecutor

from numba import njit
from threadpoolctl import ThreadpoolController


def compiled(function):
    """The function compiled at its first call, free of the interpreter lock; kept on disk where a folder can be written."""
    try:
        return njit(function, cache=True, nogil=True, error_model="numpy")
    except RuntimeError:  # no folder for the cache: compile anew in each session
        return njit(function, nogil=True)


_controller = functools.cache(ThreadpoolController)  # looking the libraries up takes longer than a small fill
_lock, _running = threading.Lock(), []
_setter = ThreadPoolExecutor(1, "blas threads")  # BLAS heeds only the first thread that sets a limit: let it always be this one


@contextlib.contextmanager
def one_blas_thread():
    """Limit BLAS to one thread until the last of all runs that overlap has ended: small products are slower on two."""
    with _lock:
        if not _running:
            one_blas_thread.limiter = _setter.submit(_controller().limit, limits=1, user_api="blas").result()
        _running.append(None)
    try:
        yield
    finally:
        with _lock:
            _running.pop()
            if not _running:
                _setter.submit(one_blas_thread.limiter.restore_original_limits).result()
