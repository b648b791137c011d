"""What a CIP3 file says about a preview picture, field by field (names and meanings from memory of the public
specification, CIP3 Print Production Format 3.0)."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from filmsplit.formats.coverage_limits import MM_PER_INCH
from filmsplit.formats.ppf_data import COMPRESSIONS, ENCODINGS, Shape
from filmsplit.formats.ppf_tokens import Name, Token, Word
from filmsplit.messages import Problem, Refusal

FIELD = "CIP3PreviewImage"
NAMES = "CIP3AdmSeparationNames"
BITS = (1, 8)
COMPONENTS = (1, 4)
MOST_SIDE = 100_000
MOST_BYTES = 2**28
MOST_ALIGN = 64

Scope = dict[str, Token]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """How a preview picture is stored. ``transposed``, ``upwards``, ``mirrored``: its rows are columns as it is seen;
    its first row is the lowest; its first column is the right one (all as it is seen)."""

    shape: Shape
    encoding: str
    compression: str
    dots_per_mm: tuple[float, float]
    transposed: bool
    upwards: bool
    mirrored: bool
    is_negative: bool

    @property
    def size(self) -> tuple[int, int]:
        """Rows and columns as it is seen."""
        rows, columns = self.shape.rows, self.shape.columns
        return (columns, rows) if self.transposed else (rows, columns)


def picture_of(scopes: Sequence[Scope], file: str) -> Picture:
    """The picture whose fields stand in the scopes, the innermost last. Raises ``Refusal`` with all that is wrong."""
    fields = _Fields(scopes, file)
    rows, columns = fields.whole("Height", MOST_SIDE), fields.whole("Width", MOST_SIDE)
    bits = fields.of(BITS, "BitsPerComp", usual=8.0)
    components = fields.of(COMPONENTS, "Components", usual=1.0)
    encoding = fields.named("Encoding", ENCODINGS)
    compression = fields.named("Compression", COMPRESSIONS)
    turned = fields.matrix(rows, columns)
    dpi = fields.resolution(turned[0])
    align = fields.align()
    negative = fields.negative()
    if rows * columns * components > MOST_BYTES:
        fields.wrong("Width", f"{columns} x {rows}")
    if fields.problems:
        raise Refusal(fields.problems)
    across, down = (each / MM_PER_INCH for each in dpi)
    return Picture(
        shape=Shape(rows=rows, columns=columns, components=components, bits=bits, align=align),
        encoding=encoding,
        compression=compression,
        dots_per_mm=(down, across),
        transposed=turned[0],
        upwards=turned[1],
        mirrored=turned[2],
        is_negative=negative,
    )


def names_of(scopes: Sequence[Scope]) -> tuple[str, ...]:
    """Names of the separations, in their order; none where the file does not say."""
    told = _found(scopes, NAMES)
    if not isinstance(told, tuple):
        return ()
    return tuple(_name(each) for each in told)


def _name(token: Token) -> str:
    if isinstance(token, bytes):
        return "".join(each if each.isprintable() else "?" for each in token.decode("latin-1"))[:80]
    return token.name[:80] if isinstance(token, Name) else "?"


def _found(scopes: Sequence[Scope], name: str) -> Token | None:
    return next((scope[name] for scope in reversed(scopes) if name in scope), None)


class _Fields:
    """Fields asked for one after another; what is wrong is kept to be told all at once."""

    def __init__(self, scopes: Sequence[Scope], file: str) -> None:
        self.scopes, self.file = scopes, file
        self.problems: list[Problem] = []

    def found(self, field: str) -> Token | None:
        return _found(self.scopes, FIELD + field)

    def wrong(self, field: str, value: object) -> None:
        values = {"file": self.file, "field": FIELD + field, "value": _shown(value)}
        self.problems.append(Problem("ppf-field-wrong", values))

    def missing(self, field: str) -> None:
        self.problems.append(Problem("ppf-field-missing", {"file": self.file, "field": FIELD + field}))

    def whole(self, field: str, most: int) -> int:
        told = self.found(field)
        if told is None:
            self.missing(field)
        elif isinstance(told, float) and told.is_integer() and 1 <= told <= most:
            return int(told)
        else:
            self.wrong(field, told)
        return 1

    def of(self, known: Sequence[int], field: str, *, usual: float) -> int:
        told = self.found(field)
        told = usual if told is None else told
        if not isinstance(told, float) or told not in known:
            self.wrong(field, told)
            return known[0]
        return int(told)

    def named(self, field: str, known: Collection[str]) -> str:
        told = self.found(field)
        if told is None:
            self.missing(field)
        elif isinstance(told, Name) and told.name in known:
            return told.name
        else:
            self.wrong(field, told)
        return next(iter(known))

    def numbers(self, field: str, count: int) -> tuple[float, ...] | None:
        told = self.found(field)
        if told is None:
            self.missing(field)
            return None
        if isinstance(told, tuple) and len(told) == count and all(isinstance(each, float) for each in told):
            return tuple(each for each in told if isinstance(each, float))
        self.wrong(field, told)
        return None

    def matrix(self, rows: int, columns: int) -> tuple[bool, bool, bool]:
        """How it is turned (the image matrix of PostScript: from the unit square to columns and rows)."""
        told = self.numbers("Matrix", 6)
        if told is None:
            return False, False, False
        a, b, c, d, _, _ = told
        if (abs(a), b, c, abs(d)) == (columns, 0, 0, rows):
            return False, d > 0, a < 0
        if (a, abs(b), abs(c), d) == (0, rows, columns, 0):
            return True, c > 0, b < 0
        self.wrong("Matrix", told)
        return False, False, False

    def resolution(self, transposed: bool) -> tuple[float, float]:
        told = self.numbers("Resolution", 2)
        if told is None or min(told) <= 0:
            if told is not None:
                self.wrong("Resolution", told)
            return 1.0, 1.0
        if transposed and told[0] != told[1]:  # which of both goes which way is not clear then
            self.wrong("Resolution", told)
        return told[0], told[1]

    def align(self) -> int:
        told = self.found("ByteAlign")
        if told is None or isinstance(told, Word):
            return 1  # rows begin with a byte in PostScript anyway
        if isinstance(told, float) and told.is_integer() and 1 <= told <= MOST_ALIGN:
            return int(told)
        self.wrong("ByteAlign", told)
        return 1

    def negative(self) -> bool:
        told = self.found("FilmEncoding")
        if told is None or told == Name("Positive"):
            return False
        if told == Name("Negative"):
            return True
        self.wrong("FilmEncoding", told)
        return False


def _shown(value: object) -> str:
    if isinstance(value, (Name, Word)):
        return value.name[:60]
    if isinstance(value, tuple):
        return " ".join(_shown(each) for each in value[:8])[:60]
    return f"{value:g}" if isinstance(value, float) else str(value)[:60]
