"""Many calls of a function: in a loop, in processes, through an executor or a map, with progress and interruption."""

import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from typing import Any, TypeVar

from materials.checks import reject

T = TypeVar("T")
R = TypeVar("R")


def finished_calls(
    what: str,
    function: Callable[[T], R],
    items: Sequence[T],
    workers: Any = None,
    say: Callable[[str], None] | None = None,
    describe: Callable[[R], str] = str,
) -> dict[int, R]:
    """Results of a function by the index of the item; after an interrupt those that were finished.

    `workers`: None for a loop, a number of processes, an executor, or a function like ``map``.
    """
    out: dict[int, R] = {}
    start = time.perf_counter()
    try:
        for index, result in _as_they_come(what, function, items, workers):
            out[index] = result
            spent = time.perf_counter() - start
            left = spent / len(out) * (len(items) - len(out))
            if say is not None:
                say(f"{len(out)} of {len(items)}: {describe(result)}; about {left:.0f} s left")
    except KeyboardInterrupt:
        if say is not None:
            say(f"interrupted: {len(out)} of {len(items)} are finished and returned")
    return out


@contextmanager
def one_pool(workers: Any) -> Iterator[Any]:
    """Workers for several calls of `finished_calls`: a number becomes one pool for all of them."""
    if isinstance(workers, int) and not isinstance(workers, bool) and workers >= 1:
        with ProcessPoolExecutor(workers) as pool:
            yield pool
    else:
        yield workers


def _as_they_come(
    what: str, function: Callable[[T], R], items: Sequence[T], workers: Any
) -> Iterator[tuple[int, R]]:
    """Yield (index, result) in the order in which they are finished."""
    if workers is None:
        yield from enumerate(map(function, items))
        return
    with one_pool(workers) as pool:
        if isinstance(pool, Executor):
            yield from _submitted(pool, function, items)
            return
    if callable(workers):
        yield from enumerate(workers(function, items))
    else:
        cause = "of a dask client give client.get_executor()"
        reject(
            f"{what}: workers", repr(workers)[:80], "a number >= 1, an executor or a function like map", cause
        )


def _submitted(pool: Executor, function: Callable[[T], R], items: Sequence[T]) -> Iterator[tuple[int, R]]:
    """Yield (index, result) from an executor; what has not begun is cancelled when the loop ends early."""
    futures: dict[Future[R], int] = {pool.submit(function, item): i for i, item in enumerate(items)}
    try:
        for one in as_completed(futures):
            yield futures[one], one.result()
    finally:
        for one in futures:
            one.cancel()
