"""Partial orders: what must come before what."""

from collections.abc import Iterable, Mapping


def ring_in(after: Mapping[str, Iterable[str]]) -> list[str]:
    """A ring of steps that each wait for the next, or nothing. `after` maps a step to what
    must come before it."""
    done: set[str] = set()

    def walk(step: str, path: list[str]) -> list[str]:
        if step in path:
            return [*path[path.index(step) :], step]
        if step in done:
            return []
        for earlier in after.get(step, ()):
            ring = walk(earlier, [*path, step])
            if ring:
                return ring
        done.add(step)
        return []

    for step in after:
        ring = walk(step, [])
        if ring:
            return ring
    return []


def binding_pairs(after: Mapping[str, Iterable[str]]) -> frozenset[tuple[str, str]]:
    """Every (before, after) that binds, through other steps too. The order holds no ring."""
    earlier: dict[str, frozenset[str]] = {}

    def before(step: str) -> frozenset[str]:
        if step not in earlier:
            direct = frozenset(after.get(step, ()))
            earlier[step] = direct.union(*(before(one) for one in direct))
        return earlier[step]

    return frozenset((one, step) for step in after for one in before(step))
