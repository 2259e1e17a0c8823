"""Stock: the strips cut from the fewest boards, spliced where a wall is longer than a board."""

from collections.abc import Sequence
from functools import lru_cache

from ..errors import JobError
from ..job import defaults
from ..job.model import Job
from ..phrases import phrase
from ..quantities import INCH, Units, format_length, round_up
from ..records import record
from .packing import pack
from .strips import Strip

_SAME = 1e-4  # [mm] a wall this little longer than a board is as long
_LEAST_PIECE = 150.0  # [mm] a shorter piece at a splice is hard to fix and to bevel (common practice, no source)
_MOST_PIECES = 50  # of one wall; a stock length asking for more is a slip
_TOLD = Units.pair(INCH, 10.0)  # [mm] what a remedy's length is told to


@record
class Piece:
    """A piece to cut: its wall, from where to where along it, its length; all [mm].

    part: its number of so many. At an inward corner the strip outruns the wall: start may be below 0.
    """

    wall: str
    start: float
    length: float
    part: int = 1
    parts: int = 1


@record
class Board:
    """A board's pieces in order from one end, and what is left over [mm]."""

    pieces: tuple[Piece, ...]
    offcut: float


@record
class Splice:
    """A place along a wall [mm] where its strip is spliced, square."""

    wall: str
    along: float


@record
class StockPlan:
    """Boards of `stock` cut with a saw that takes `kerf` [mm]; bound: no fewer can do."""

    stock: float
    kerf: float
    boards: tuple[Board, ...]
    bound: int

    @property
    def is_fewest(self) -> bool:
        """Whether it is proved that no fewer boards do."""
        return len(self.boards) == self.bound

    @property
    def offcuts(self) -> tuple[float, ...]:
        """What is left over, longest first [mm]."""
        return tuple(sorted((board.offcut for board in self.boards if board.offcut > _SAME), reverse=True))

    @property
    def splices(self) -> tuple[Splice, ...]:
        """Where strips are spliced, by wall and along it."""
        pieces = [piece for board in self.boards for piece in board.pieces if piece.part > 1]
        splices = (Splice(piece.wall, piece.start) for piece in pieces)
        return tuple(sorted(splices, key=lambda splice: (len(splice.wall), splice.wall, splice.along)))


def stock_plan(job: Job, strips: Sequence[Strip]) -> StockPlan:
    """The strips cut from the fewest boards of the job's stock.

    Raises JobError under strips.stock for a length typed far too short for the walls.
    """
    stock = defaults.strip_stock(job)
    _refuse_short(job, strips, stock)
    return _cut_from(cut_list(strips, stock), stock, defaults.kerf(job))


def cut_list(strips: Sequence[Strip], stock: float) -> tuple[Piece, ...]:
    """The pieces of all strips, none longer than a board of `stock` [mm].

    A longer strip is whole boards and a rest: with so few splices no other parting needs fewer boards; a rest too short
    to handle borrows from the board before.
    """
    return tuple(
        piece
        for strip in strips
        for piece in wall_pieces(strip.wall, strip.blank, min(0.0, strip.allowances[0]), stock)
    )


def wall_pieces(wall: str, blank: float, start: float, stock: float) -> list[Piece]:
    """The pieces of a wall's strip, `blank` long from `start` along it, off boards of `stock`; all [mm]."""
    lengths, left = [], blank
    while left > stock + _SAME:
        lengths.append(stock)
        left -= stock
    least = min(_LEAST_PIECE, stock / 2)
    if lengths and left < least:
        lengths[-1] -= least - left
        left = least
    lengths.append(left)
    pieces = []
    for part, length in enumerate(lengths, start=1):
        pieces.append(Piece(wall, start, length, part, len(lengths)))
        start += length
    return pieces


def cut_from(pieces: Sequence[Piece], stock: float, kerf: float) -> StockPlan:
    """The fewest boards of `stock` for pieces no longer than it, each cut taking `kerf` [mm].

    Every piece but one that ends with its board is cut off. Exact where `is_fewest`; else `bound` boards might do.
    """
    packing = pack([piece.length for piece in pieces], stock, kerf)
    boards = []
    for numbers in packing.boards:
        on_board = tuple(pieces[i] for i in numbers)
        used = sum(piece.length for piece in on_board) + kerf * len(on_board)
        boards.append(Board(on_board, max(0.0, stock - used)))
    return StockPlan(stock, kerf, tuple(boards), packing.bound)


_cut_from = lru_cache(maxsize=4)(cut_from)


def _refuse_short(job: Job, strips: Sequence[Strip], stock: float) -> None:
    typed = job.strips.stock
    longest = max(strips, key=lambda strip: strip.blank, default=None)
    if typed is None or longest is None or longest.blank <= stock * _MOST_PIECES:
        return
    least = format_length(round_up(longest.blank / _MOST_PIECES, _TOLD[job.units]), job.units)
    usual = defaults.default_text(job, "strips.stock")
    raise JobError(
        "strips.stock",
        typed.text,
        phrase("wall {wall} would be spliced of more than {most} pieces", wall=longest.wall, most=_MOST_PIECES),
        phrase("give the length of a board, at least {least}; {usual} is usual", least=least, usual=usual),
    )
