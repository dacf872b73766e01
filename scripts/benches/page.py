"""The page: requests a second and the 99th percentile, beside a bare endpoint.

The servers, the users and the questions are those of `scripts/bench_web`: an application of the
same framework that answers a constant has its turn in every round. Loopback only.
"""

from __future__ import annotations

from benches.scripts import script
from benches.timing import Measured

# The kinds of question, in the words of `bench_web`, that the targets are about.
LOOK_UP = "seal, the same question"


def rows(quick: bool) -> list[Measured]:
    """Throughput and 99th percentile of every kind of question, with fifty users and with one."""
    bench = script("bench_web")
    rounds, seconds = (5, 0.4) if quick else (5, 2.0)
    measured = []
    for every in bench.all_rounds(users=50, seconds=seconds, rounds=rounds):
        bare, *kinds = zip(*every, strict=True)
        for kind in kinds:
            what, users = kind[0].what, kind[0].users
            name = f"{what}; users: {users}"
            many = users > 1
            errors = sum(one.errors for one in kind)
            note = f"{errors} errors of {sum(one.requests for one in kind):,}"
            for figure, unit, target in (
                ("a_second", "/s", "at least 0.5"),
                ("median_ms", "ms", ""),
                ("p99_ms", "ms", "below 50 ms"),
            ):
                measured.append(
                    Measured(
                        section="page",
                        what=f"{name}: {figure.replace('_', ' ')}",
                        unit=unit,
                        ours_runs=tuple(getattr(one, figure) for one in kind),
                        other_name="a constant, bare",
                        other_runs=tuple(getattr(one, figure) for one in bare),
                        target=target if many and what == LOOK_UP else "",
                        note=note,
                    )
                )
    return measured
