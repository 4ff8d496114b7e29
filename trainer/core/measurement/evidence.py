"""Who answered what, right or wrong, in the shape that products of matrices want."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from trainer.core.measurement.response_model import Floats

Marks = NDArray[np.int8]
"""(people, families): 1 right, 0 wrong, -1 not given."""
NOT_GIVEN = -1
ROWS = 4096
"""People taken at a time: their posteriors stay in the processor's cache."""
THIN = 0.1
"""Below this share of cells filled, only the filled ones are kept."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """Responses of people to families.

    `right`, `given`: (people, families) of 0 and 1, dense or sparse, in the precision of the
    work; `given` is None when everybody answered everything. Sparse ones share their cells.
    """

    right: Any
    given: Any | None
    precision: type[np.floating[Any]] = np.float64

    @property
    def people(self) -> int:
        """How many people."""
        return int(self.right.shape[0])

    @property
    def families(self) -> int:
        """How many families."""
        return int(self.right.shape[1])

    @property
    def sparse(self) -> bool:
        """Whether only filled cells are kept."""
        return isinstance(self.right, csr_array)

    def parts(self, rows: int = ROWS) -> Iterator[tuple[slice, Any, Any | None]]:
        """The people in parts: (which, right, given)."""
        for start in range(0, self.people, rows):
            part = slice(start, min(start + rows, self.people))
            yield part, self.right[part], None if self.given is None else self.given[part]

    def counts(self) -> tuple[Floats, Floats]:
        """Per family, how many answered right and how many answered: (families,) twice."""
        right = np.asarray(self.right.sum(axis=0, dtype=np.float64)).ravel()
        if self.given is None:
            return right, np.full(self.families, float(self.people))
        return right, np.asarray(self.given.sum(axis=0, dtype=np.float64)).ravel()


def from_marks(marks: Marks, precision: type[np.floating[Any]] = np.float64) -> Evidence:
    """Evidence from a table of marks.

    Parameters
    ----------
    marks : (people, families) of 1 right, 0 wrong, -1 not given
    precision : float64, or float32 where there is so much that speed counts

    Raises
    ------
    ValueError : If marks is not a matrix, is empty, or holds anything else.
    """
    if marks.ndim != 2 or marks.size == 0:  # noqa: PLR2004 a matrix
        raise ValueError(f"{marks.shape=}")
    check_marks(marks)
    given = marks >= 0
    filled = np.count_nonzero(given)
    if filled == marks.size:
        return Evidence(marks.astype(precision), None, precision)
    right = marks == 1
    if filled < THIN * marks.size:
        cells = csr_array(given, dtype=precision)
        return Evidence(_alike(cells, right[given]), cells, precision)
    return Evidence(right.astype(precision), given.astype(precision), precision)


def check_marks(marks: Marks) -> None:
    """Raise ValueError if a mark is anything but 1, 0 or -1."""
    if marks.size and (marks.min() < NOT_GIVEN or marks.max() > 1):
        raise ValueError(f"{marks.min()=}, {marks.max()=}")


def from_rows(
    people: NDArray[np.intp], families: NDArray[np.intp], right: NDArray[np.bool_]
) -> Evidence:
    """Evidence from one row a response: person number, family number, right.

    Raises ValueError if the lengths differ, there are none, or a pair comes twice.
    """
    if not len(people) == len(families) == len(right) > 0:
        raise ValueError(f"{len(people)=}, {len(families)=}, {len(right)=}")
    order = np.lexsort((families, people))
    shape = (int(people.max()) + 1, int(families.max()) + 1)
    ends = np.cumsum(np.bincount(people, minlength=shape[0]))
    cells = (np.ones(len(right)), families[order], np.concatenate([[0], ends]))
    given = csr_array(cells, shape=shape)
    if not given.has_canonical_format:
        raise ValueError("a person's family comes twice")
    known = _alike(given, right[order])
    if given.nnz < THIN * shape[0] * shape[1]:
        return Evidence(known, given)
    full = given.nnz == shape[0] * shape[1]
    return Evidence(known.toarray(), None if full else given.toarray())


def _alike(cells: Any, values: NDArray[np.bool_]) -> Any:
    """Other values in the same cells, false ones kept as 0."""
    held = (values.astype(cells.dtype), cells.indices, cells.indptr)
    return csr_array(held, shape=cells.shape)
