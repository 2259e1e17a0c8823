"""Entries by the names that a person knows: which drain, which station."""

import re

from engine.job.model import Job
from engine.phrases import phrase, shaped

from .entries import reading_keys
from .explanations import label_of

_DRAIN = re.compile(r"drains\[(\d+)\](?:\.(\w+))?")
_READING = re.compile(r"(readings|as_built)\[(\d+)\](?:\.\w+)?")
_ENDS = {"at": phrase("its place"), "from": phrase("one end"), "to": phrase("the other end")}


def entry_name(job: Job, key: str) -> str:
    """An entry of a job in words; its label where it is the only one."""
    if drain := _DRAIN.fullmatch(key):
        name = phrase("Drain {number}", number=int(drain[1]) + 1) if len(job.drains) > 1 else phrase("The drain")
        if not drain[2]:
            return name
        what = _ENDS.get(drain[2]) or shaped(label_of(key), str.lower)
        return phrase("{item}: {entry}", item=name, entry=what)
    if reading := _READING.fullmatch(key):
        names = [name.partition("@")[2] for name in reading_keys(job, reading[1])]
        number = int(reading[2])
        if number < len(names):
            return phrase("{entry} at {place}", entry=label_of(key), place=names[number])
    label, place = label_of(key), key.partition("@")[2]
    return phrase("{entry} at {place}", entry=label, place=place) if place else label
