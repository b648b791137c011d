"""Small symmetric systems, solved without leaving plain Python: importing an array library costs more than the sum."""

from __future__ import annotations

Matrix = list[list[float]]


def solve_symmetric(matrix: Matrix, right: list[float]) -> list[float]:
    """Solve ``matrix @ x = right`` for a symmetric matrix without negative eigenvalues (both are used up).

    Elimination without pivoting, which such a matrix allows. Zeros are skipped: where few unknowns are coupled the
    work is nearer to n squared than to n cubed. An unknown with no pivot left depends on the earlier ones and is 0.
    """
    size = len(right)
    for k in range(size):
        pivot_row = matrix[k]
        pivot = pivot_row[k]
        if pivot <= 0.0:
            continue
        filled = [j for j in range(k + 1, size) if pivot_row[j]]
        for i in filled:
            factor = pivot_row[i] / pivot
            row = matrix[i]
            for j in filled:
                row[j] -= factor * pivot_row[j]
            right[i] -= factor * right[k]
    for k in range(size - 1, -1, -1):
        row = matrix[k]
        if row[k] <= 0.0:
            right[k] = 0.0
        else:
            right[k] = (right[k] - sum(row[j] * right[j] for j in range(k + 1, size) if row[j])) / row[k]
    return right
