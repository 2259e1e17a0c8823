"""From a parsed file's plain values to the job's model, every fault told in words.

Each function takes a raw value, its key path, and what is known of the job so far.
"""

from typing import Any

from ..errors import JobError, shown
from ..phrases import counted_phrase, joined, phrase
from ..quantities import Units
from .entries import ENTRY_READERS, Ground, read_choice, read_measure
from .kinds import Choice, Edges, Kind, Many, Named, Pair, Table
from .lettering import check_wall
from .model import Bed, Drain, DrainKind, EdgeKind, Job, Mortar, Outline, Tape
from .refusals import Unquoted, check_name, display, refuse_missing, refuse_others, under, wrong_type
from .schema import FORMAT, HEAD, JOB, MOST_CORNERS, OUTLINE_FORMS, SECTIONS, SIDE

_USUAL_BAG = 25.0  # [kg]
_MORTARS = (5e-7, 5e-6)  # [kg/mm3] of dry mix in the mud that it makes


def read_tables(raw: dict[str, Any], *, draft: bool = False) -> Job:
    """The job that a parsed file holds; a draft may name corners and walls that its outline lacks. Raises JobError."""
    _check_format(raw)
    refuse_others(raw, ("format", *JOB.keys), "")
    head = read(HEAD, raw.get("job", {}), "job", Ground())
    units = head.get("units", Units.INCH)
    ground = Ground(units, None if draft else _count_corners(raw.get("outline")))
    entries = {f.attr: read(f.kind, raw[f.key], f.key, ground) for f in SECTIONS if f.key in raw}
    return Job(**head, **entries)


def read(kind: Kind, raw: Any, key: str, ground: Ground) -> Any:
    """A raw value as the model's, by its kind. Raises JobError."""
    return _READERS[type(kind)](kind, raw, key, ground)


def _check_format(raw: dict[str, Any]) -> None:
    if "format" not in raw:
        remedy = phrase("begin it with format = 1")
        raise JobError("format", Unquoted("(missing)"), phrase("the file does not say its format"), remedy)
    given = raw["format"]
    if type(given) is not int or given != FORMAT:
        remedy = phrase("use a newer fallmark" if type(given) is int and given > FORMAT else "write format = 1")
        raise JobError("format", display(given), phrase("only format 1 can be read"), remedy)


def _count_corners(outline: Any) -> int | None:
    if not isinstance(outline, dict):
        return None
    if "rectangle" in outline:
        return 4
    given = outline.get("walls", outline.get("corners"))
    return len(given) if isinstance(given, list) and given else None


# --- what holds others


def _edges(_: Edges, raw: Any, key: str, ground: Ground) -> tuple[tuple[str, EdgeKind], ...]:
    if not isinstance(raw, dict):
        wrong_type(raw, key, phrase("a table of walls"), phrase('write {{ "D-A" = "curb" }}'))
    edges = []
    for wall, kind in raw.items():
        check_wall(wall, ground.corners, under(key, wall), display(kind))
        edges.append((wall, read_choice(Choice(EdgeKind), kind, under(key, wall), ground)))
    return tuple(edges)


def _named(kind: Named, raw: Any, key: str, ground: Ground) -> tuple[tuple[str, Any], ...]:
    if not isinstance(raw, dict):
        remedy = phrase("write [{key}] on a line of its own, and its keys below", key=key)
        wrong_type(raw, key, phrase("a table of keys"), remedy)
    for name, value in raw.items():
        check_name(kind, name, under(key, name), value)
    return tuple((name, read(kind.kinds[name], value, under(key, name), ground)) for name, value in raw.items())


def _pair(kind: Pair, raw: Any, key: str, ground: Ground) -> tuple[Any, Any]:
    if not isinstance(raw, list) or len(raw) != 2:
        remedy = phrase('write it as ["60 in", "36 in"]')
        wrong_type(raw, key, phrase("a pair of lengths ({names})", names=joined(phrase(" and "), kind.names)), remedy)
    first, second = (read_measure(kind.item, item, f"{key}[{i}]", ground) for i, item in enumerate(raw))
    return first, second


def _many(kind: Many, raw: Any, key: str, ground: Ground) -> tuple[Any, ...]:
    if not isinstance(raw, list):
        remedy = phrase("write [[{key}]] above each, or a list in [ ]", key=key)
        wrong_type(raw, key, phrase("a list, each item {singular}", singular=kind.singular), remedy)
    if len(raw) > kind.most:
        remedy = phrase("give at most {most}", most=kind.most)
        raise JobError(key, Unquoted(f"{len(raw)} items"), phrase("these are too many"), remedy)
    return tuple(read(kind.item, item, f"{key}[{i}]", ground) for i, item in enumerate(raw))


def _table(kind: Table, raw: Any, key: str, ground: Ground) -> Any:
    if not isinstance(raw, dict):
        listed = phrase("write it as {{ {key} = ... }}", key=kind.keys[0])
        section = phrase("write [{key}] on a line of its own, and its keys below", key=key)
        wrong_type(raw, key, phrase("a table of keys"), listed if key.endswith("]") else section)
    refuse_others(raw, kind.keys, key)
    if kind.make is Outline:
        return _outline(kind, raw, key, ground)
    values = _values(kind, raw, key, ground)
    refuse_missing(raw, [field.key for field in kind.fields if field.required], key)
    made = kind.make(**values)
    check_whole(made, key)
    return made


def _values(kind: Table, raw: dict[str, Any], key: str, ground: Ground) -> dict[str, Any]:
    return {
        field.attr: read(field.kind, raw[field.key], under(key, field.key), ground)
        for field in kind.fields
        if field.key in raw
    }


def _outline(kind: Table, raw: dict[str, Any], key: str, ground: Ground) -> Outline:
    _one_form([form for form in OUTLINE_FORMS if form in raw], key)
    sides = raw.get("rectangle")
    if isinstance(sides, list) and len(sides) == 2 and "" in sides:
        return _half_outline(kind, raw, key, ground)
    return Outline(**_values(kind, raw, key, ground))


def _half_outline(kind: Table, raw: dict[str, Any], key: str, ground: Ground) -> Outline:
    rest = {name: value for name, value in raw.items() if name != "rectangle"}
    first, second = (
        None if item == "" else read_measure(SIDE, item, f"{key}.rectangle[{i}]", ground)
        for i, item in enumerate(raw["rectangle"])
    )
    half = None if first is None and second is None else (first, second)
    return Outline(**_values(kind, rest, key, ground), half_rectangle=half)


def check_whole(made: Any, key: str) -> None:
    """What the keys of one table must keep to together. Raises JobError."""
    if isinstance(made, Outline):
        half = ["rectangle"] if made.half_rectangle else []
        _one_form(half + [form for form in OUTLINE_FORMS if getattr(made, form)], key)
        _check_corners(made, key)
    elif isinstance(made, Drain):
        _check_drain(made, key)
    elif isinstance(made, Bed):
        _check_depths(made, key)
    elif isinstance(made, Mortar):
        _check_yield(made, key)
    elif isinstance(made, Tape) and made.start == made.end:
        raise JobError(
            f"{key}.to", made.end, phrase("the tape starts and ends at one corner"), phrase("name two corners")
        )


def _one_form(forms: list[str], key: str) -> None:
    if len(forms) > 1:
        remedy = phrase("leave {form} out, or {other}", form=forms[1], other=forms[0])
        raise JobError(key, Unquoted(" and ".join(forms)), phrase("an outline has only one form"), remedy)


def _check_corners(outline: Outline, key: str) -> None:
    islands = sum(len(island.corners) for island in outline.islands)
    count = len(outline.walls or outline.corners or ()) + islands
    if count > MOST_CORNERS:
        raise JobError(
            f"{key}.islands" if islands else key,
            Unquoted(counted_phrase("{number} corner", "{number} corners", count)),
            phrase("these are too many, outline and islands together"),
            phrase("give at most {most}", most=MOST_CORNERS),
        )


def _check_drain(drain: Drain, key: str) -> None:
    has_ends = drain.start is not None or drain.end is not None
    if drain.at is not None and (has_ends or drain.kind is DrainKind.CHANNEL):
        remedy = phrase("give from and to instead of at")
        raise JobError(f"{key}.at", Unquoted("a place"), phrase("a channel lies between two places"), remedy)
    if has_ends and drain.kind not in (DrainKind.CHANNEL, None):
        name = "from" if drain.start is not None else "to"
        raise JobError(
            f"{key}.{name}",
            Unquoted("a place"),
            phrase("a {kind} drain has one place", kind=drain.kind),
            phrase("give at instead of from and to"),
        )


def _check_depths(bed: Bed, key: str) -> None:
    if bed.least_depth and bed.most_depth and bed.least_depth.value > bed.most_depth.value:
        raise JobError(
            f"{key}.most_depth",
            bed.most_depth.text,
            phrase("this is less than the least depth, {depth}", depth=shown(bed.least_depth.text)),
            phrase("correct one of the two"),
        )


def _check_yield(mortar: Mortar, key: str) -> None:
    """That a bag makes no more or less mud than any mortar's dry mix could.

    Wide bounds: light insulating mortars hold some 500 kg of dry mix a cubic metre, and no grain of sand or cement is
    as heavy as 5000 (from memory; deck mud holds 2135).
    """
    if mortar.bag_yield is None:
        return
    bag = mortar.bag.value if mortar.bag else _USUAL_BAG
    density, (least, most) = bag / mortar.bag_yield.value, _MORTARS
    if least <= density <= most:
        return
    of = phrase("a bag of {bag}", bag=shown(mortar.bag.text)) if mortar.bag else phrase("a bag of the usual weight")
    raise JobError(
        f"{key}.yield",
        mortar.bag_yield.text,
        phrase(
            "{bag} cannot make so much: no mortar has less than 31 lb of dry mix in a cubic foot (500 kg in a m3)"
            if density < least
            else "{bag} makes more than that: no mortar has over 312 lb of dry mix in a cubic foot (5000 kg in a m3)",
            bag=of,
        ),
        phrase("correct the figure or its unit; to change both, leave the yield out until the bag is right"),
    )


_READERS = ENTRY_READERS | {Edges: _edges, Named: _named, Pair: _pair, Many: _many, Table: _table}
