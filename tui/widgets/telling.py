"""Messages by what they tell: a class names that, with types, and is made with it in that order."""

from typing import Any, dataclass_transform

from textual.message import Message


@dataclass_transform()
class Telling(Message):
    """A message made with what its class names."""

    def __init__(self, *told: Any) -> None:
        super().__init__()
        for name, each in zip(type(self).__annotations__, told, strict=True):
            setattr(self, name, each)
