"""Many fills of one surface with scattered permeability and edges that may race: chance of a dry spot, and where."""

from __future__ import annotations

import os
from concurrent.futures import Executor, ThreadPoolExecutor, as_completed
from contextlib import ExitStack
from dataclasses import dataclass

import numpy as np
from scipy.stats import binomtest

from ..errors import RangeError
from ..units import Q_, checked
from .compiled import one_blas_thread
from .fill_lines import EdgeChannel
from .filling import FLOW, RESIN, FillModel
from .flow_matrix import per_triangle

BATCH = 10         # fills sent to another process or machine at once (solver section 9)
CONFIDENCE = 0.95  # of the interval of a chance


@dataclass(frozen=True, eq=False)
class FillScatter:
    """What many fills tell, one figure for each fill in order of its number; fields in SI floats, properties as quantities.

    numbers       numbers of the fills done (k,), which with the seed settle all that is drawn;  wanted  fills asked for
    times         fill time [s], infinity where the resin gels or stalls first;  complete  whether everything filled
    volumes       empty volume [m^3] of the fill's dry spots when each was closed off
    dry_spot      whether a dry spot above the smallest was left (k,)
    race_names, raced  which edges were open (k, r)
    in_spot, stalled   in how many fills each node lay in such a dry spot, or was still dry at the end (n,)
    """

    numbers: np.ndarray
    wanted: int
    times: np.ndarray
    complete: np.ndarray
    volumes: np.ndarray
    dry_spot: np.ndarray
    race_names: tuple[str, ...]
    raced: np.ndarray
    in_spot: np.ndarray
    stalled: np.ndarray

    @classmethod
    def of(cls, parts, wanted) -> FillScatter:
        """Parts of one series of fills put together."""
        parts = sorted(parts, key=lambda part: part.numbers[0])
        rows = {name: np.concatenate([getattr(part, name) for part in parts]) for name in ("numbers", "times", "complete", "volumes", "dry_spot", "raced")}
        return cls(wanted=wanted, race_names=parts[0].race_names, in_spot=sum(part.in_spot for part in parts), stalled=sum(part.stalled for part in parts), **rows)

    fill_time = property(lambda self: Q_(self.times, "s"))
    trapped_volume = property(lambda self: Q_(self.volumes, "m^3"))
    node_chance = property(lambda self: self.in_spot / self.runs, doc="Share of the fills in which each node lay in a dry spot.")
    stalled_chance = property(lambda self: self.stalled / self.runs, doc="Share of the fills in which each node stayed dry.")

    @property
    def runs(self) -> int:
        """Fills done."""
        return len(self.numbers)

    @property
    def stopped(self) -> bool:
        """Whether it was stopped before all fills were done."""
        return self.runs < self.wanted

    @property
    def dry_chance(self) -> float:
        """Share of the fills that left a dry spot."""
        return float(self.dry_spot.mean())

    @property
    def dry_chance_range(self) -> tuple[float, float]:
        """Interval of 95 % for that chance: so few fills tell no more (Wilson)."""
        return chance_range(int(self.dry_spot.sum()), self.runs)

    def fill_time_within(self, share):
        """Fill time [s] that this share of the fills keeps within; infinity where too few get full."""
        if not 0 <= share <= 1:
            raise RangeError(f"share is {share:g}; give a share of the fills from 0 to 1.")
        return Q_(float(np.quantile(self.times, share, method="inverted_cdf")), "s")

    def dry_with(self, race) -> tuple[int, int, int, int]:
        """Fills in which one edge was open: how many, how many of them with a dry spot; the same for those where it was shut."""
        if race not in self.race_names:
            raise RangeError(f'no edge is called "{race}"; there are: {", ".join(self.race_names) or "none"}.')
        was_open = self.raced[:, self.race_names.index(race)]
        return tuple(int(part.sum()) for part in (was_open, self.dry_spot & was_open, ~was_open, self.dry_spot & ~was_open))


def chance_range(found: int, runs: int) -> tuple[float, float]:
    """Interval of 95 % for a chance of which ``found`` in ``runs`` were seen. Source: Wilson's score interval (textbook, from memory)."""
    low, high = binomtest(found, runs).proportion_ci(CONFIDENCE, method="wilson")
    return float(low), float(high)


@checked(**FLOW, **RESIN, spread="1 in 0..3", patch="m > 0", race_chance="1 in 0..1", shared="1 in 0..1", smallest_share="1 in 0..1")
def scatter_fills(model, permeability, viscosity, feeds, vents, *, spread, patch, races=(), race_chance=0.0, runs=200, seed=0,
                  first=0, workers=2, client=None, progress=None, keep_going=None, permeability_across=None, direction=None, channels=(),
                  doubling_time=None, gel_time=None, resin_density=None, shared=0.5, smallest_share=1e-3):
    """Many fills with scattered permeability and edges that are open by chance.

    model      FillModel
    permeability  [m^2]  along ``direction``, middle (median) value, one or one for each triangle
    viscosity  [Pa*s]  of the resin when the first feed opens
    feeds, vents, direction, channels  as in ``FillModel.fill``; vents must be given
    spread     [1]  standard deviation of ln K at any one place; nought: no scatter
    patch      [m]  size of a patch within which the cloth is alike
    races      EdgeChannel list: edges that may race, each by itself
    race_chance  [1]  chance that an edge is open
    runs       how many fills;  seed  whole number; fill number i of a seed is the same however fills are shared out
    first      number of the first fill, to go on where another call ended
    workers    threads in this process (the compiled march runs free of the interpreter lock)
    client     instead of threads: a dask Client, its address, or any Executor of concurrent.futures
    progress   called with (fills done, fills wanted) after each
    keep_going  called after each; False stops, and what was done until then is returned
    permeability_across  [m^2]  square to the direction in the plane; as along if left out
    doubling_time  [s]  in which the viscosity doubles; left out: it does not rise
    gel_time   [s]  when the resin stops flowing; left out: never
    resin_density  [kg/m^3]  for the head of resin, z upwards; left out: none
    shared     [1]  share of the variance of ln K that the whole part has in common (a batch of cloth, a tighter bag)
    smallest_share  [1]  of the part's volume: smaller dry spots are not counted
    Returns FillScatter.
    Raises UnitError; RangeError, ShapeError for lines and regions that cannot be, or when stopped before the first fill.
    Relation: K = K_median exp(spread (sqrt(shared) z + sqrt(1 - shared) z_patch)), z standard normal
    Valid: patches are cubes laid through space at random, so two faces nearer than a patch to one another vary alike. On
        other machines the package must be installed; dask's own worker processes want the setting
        distributed.nanny.pre-spawn-environ.MALLOC_TRIM_THRESHOLD_ at some 268435456, else each fill takes nearly twice
        as long (solver section 9, measured).
    Source: lognormal scatter of permeability (textbook, from memory); shared, patch and chance: your own measurement or judgement.
    """
    if vents is None or not list(vents):
        raise RangeError("scattered fills need vents: where the whole surface is under vacuum nothing can be closed off.")
    for name, value, least in (("runs", runs, 1), ("workers", workers, 1), ("seed", seed, 0), ("first", first, 0)):
        if not isinstance(value, (int, np.integer)) or isinstance(value, bool) or value < least:
            raise RangeError(f"{name} is {value!r}; give a whole number of at least {least}.")
    names = [race.name for race in races]
    if len(set(names)) < len(names):
        raise RangeError(f"edges that may race need names of their own, but there are: {', '.join(names)}.")
    count = len(model.triangles)
    permeability = per_triangle(permeability, count, "permeability")
    if permeability_across is not None:
        permeability_across = per_triangle(permeability_across, count, "permeability_across")
    patch = max(patch, 1e-6 * float(np.ptp(model.nodes, axis=0).max()))  # finer patches than that have no whole numbers left
    job = _Job(model, permeability, viscosity, tuple(feeds), tuple(vents), tuple(races), tuple(channels), spread, patch, race_chance,
               seed, shared, smallest_share, dict(permeability_across=permeability_across, direction=direction,
               doubling_time=doubling_time, gel_time=gel_time, resin_density=resin_density))
    found = _shared_out(job, range(first, first + runs), workers, client, progress, keep_going)
    if not found:
        raise RangeError("the fills were stopped before the first was done; start again.")
    return FillScatter.of(found, int(runs))


@dataclass(frozen=True, eq=False)
class _Job:
    """All that a fill needs, in SI, to be sent where it is worked out."""

    model: FillModel
    permeability: object
    viscosity: float
    feeds: tuple
    vents: tuple
    races: tuple[EdgeChannel, ...]
    channels: tuple[EdgeChannel, ...]
    spread: float
    patch: float
    race_chance: float
    seed: int
    shared: float
    smallest_share: float
    others: dict

    def drawn(self, number):
        """Which edges are open (r,), and the factor on the permeability of each triangle (m,), of one fill."""
        rng = np.random.default_rng((self.seed, number))
        raced = rng.random(len(self.races)) < self.race_chance
        whole = rng.standard_normal()
        cell = np.floor(self.model.nodes[self.model.triangles].mean(1) / self.patch + rng.random(3)).astype(np.int64)
        cell -= cell.min(0)
        count = cell.max(0) + 1
        _, patch = np.unique((cell[:, 0] * count[1] + cell[:, 1]) * count[2] + cell[:, 2], return_inverse=True)
        own = rng.standard_normal(patch.max() + 1)[patch]
        return raced, np.exp(self.spread * (np.sqrt(self.shared) * whole + np.sqrt(1 - self.shared) * own))

    def fills(self, numbers) -> FillScatter:
        rows, n = [], len(self.model.nodes)
        in_spot, stalled = np.zeros(n, int), np.zeros(n, int)
        for number in numbers:
            raced, factor = self.drawn(number)
            others = self.others | {"channels": (*self.channels, *(race for race, is_open in zip(self.races, raced, strict=True) if is_open))}
            if others["permeability_across"] is not None:
                others["permeability_across"] = others["permeability_across"] * factor
            fill = FillModel.fill.si(self.model, self.permeability * factor, self.viscosity, self.feeds, self.vents, **others)
            least = self.smallest_share * fill.graph.room.sum()
            spots = [region for region in fill.trapped if region.volume.m_as("m^3") > least]
            if spots:
                in_spot[np.unique(np.concatenate([region.nodes for region in spots]))] += 1
            stalled += np.isinf(fill.si.full_at)
            rows.append((fill.si.fill_time, fill.complete, sum(region.volume.m_as("m^3") for region in spots), bool(spots), raced))
        times, complete, volumes, dry, raced = zip(*rows, strict=True)
        return FillScatter(np.array(numbers), len(rows), np.array(times), np.array(complete), np.array(volumes, float), np.array(dry),
                           tuple(race.name for race in self.races), np.array(raced, bool).reshape(len(rows), -1), in_spot, stalled)


def _shared_out(job, numbers, workers, client, progress, keep_going):
    """Parts of the fills as they were done, in any order."""
    with ExitStack() as at_end:
        at_end.enter_context(one_blas_thread())  # once for all, instead of once a fill
        executor, job, batch = _executor(client, workers, job, at_end)
        waiting = [executor.submit(_Job.fills, job, numbers[start:start + batch]) for start in range(0, len(numbers), batch)]
        at_end.callback(lambda: [future.cancel() for future in waiting])
        found, done = [], 0
        for future in as_completed(waiting):
            found.append(future.result())
            done += found[-1].runs
            if progress is not None:
                progress(done, len(numbers))
            if keep_going is not None and not keep_going():
                break
    return found


def _executor(client, workers, job, at_end):
    """Where fills are worked out, the job as it is sent there, and how many fills are sent at once."""
    if client is None:
        executor = at_end.enter_context(ThreadPoolExecutor(min(workers, 4 * (os.cpu_count() or 1))))
        return executor, job, 1
    if isinstance(client, str):
        try:
            from distributed import Client
        except ImportError:
            raise RangeError(f'fills on the cluster at "{client}" need dask: install it with  pip install "dask[distributed]"  '
                             "or leave client out to use this machine's threads.") from None
        try:
            client = at_end.enter_context(Client(client, timeout="5s"))
        except (OSError, ValueError) as err:
            raise RangeError(f'no dask scheduler answers at "{client}"; start one, or leave client out. It said: {err}') from None
    if isinstance(client, Executor):
        return client, job, BATCH
    if hasattr(client, "get_executor") and hasattr(client, "scatter"):
        return client.get_executor(), client.scatter(job, broadcast=True, hash=False), BATCH
    raise RangeError(f"client is {type(client).__name__}; give a dask Client, its address, or an Executor of concurrent.futures.")
