"""The catalogues hold what the program says, word for word: nothing missing, nothing left over, every part in place.

`.venv/bin/python tests/tongues` brings them up to date: it gathers the patterns, merges them into each .po, keeping
what is translated, and compiles the .json.bz2 beside it.
"""

from __future__ import annotations

import ast
import bz2
import json
import re
import string
import tomllib
from functools import cache
from io import BytesIO
from itertools import count, pairwise
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po

from tui.tongues import _without_accents
from tui.tongues.catalogue import Catalogue as Compiled
from tui.tongues.catalogue import digest, parts_of

ROOT = Path(__file__).parents[2]
CATALOGUES = sorted((ROOT / "tui" / "tongues").glob("*/LC_MESSAGES/fallmark.po"))
PATTERNS = {"phrase": 1, "counted_phrase": 2}  # what makes sentences, and how many of its arguments are patterns
DEFINED = "engine/phrases.py"
ENGLISH_ALONE = ("commands", "meanings", "care")  # of standing words
WIDEST = 9 * 256 + 255  # from one digest to the next
MODULI = range(1 << 19, (1 << 19) + 20_000)  # so wide that a text no catalogue has is hardly ever taken for one
PLAIN_WORD = re.compile(r"\b[a-z]{3}")  # no bare title of a code has one


# ------------------------------------------------------------------ gathering


def literals(node: ast.expr) -> list[str] | None:
    """The texts an argument can be, one of two where a condition chooses; None where it is no literal."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.IfExp):
        ways = literals(node.body), literals(node.orelse)
        return None if None in ways else [text for way in ways for text in way or ()]
    return None


@cache
def makers(source: bytes):
    """The calls in a source file that make sentences, each with its line and its pattern arguments."""
    if b"phrase(" not in source:
        return []
    return [
        (node.lineno, node.args[: PATTERNS[node.func.id]])
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in PATTERNS
    ]


def of_python(file, keywords, tags, options):
    """Babel's way to read a kind of file: its own reader of Python overlooks a call that stands deep inside another."""
    del keywords, tags, options  # Babel hands them over; which calls count is a matter of the house
    for line, patterns in makers(file.read()):
        texts = [literals(pattern) for pattern in patterns]
        if len(texts) > 1 and all(texts):
            yield line, "ngettext", tuple(text[0] for text in texts if text), []
        elif texts and texts[0]:
            yield from ((line, "gettext", text, []) for text in texts[0])


def of_toml(file, keywords, tags, options):
    """All texts of a file of explanations, or of standing words."""
    del keywords, tags, options
    for name, entry in tomllib.loads(file.read().decode()).items():
        yield from ((1, "gettext", text, []) for text in entry.values() if name not in ENGLISH_ALONE)


def of_rulebook(file, keywords, tags, options):
    """What a rulebook is called, and its works and sources where they are more than a bare title."""
    del keywords, tags, options
    book = tomllib.loads(file.read().decode())
    named = (book["works"], *(figure["source"] for figure in book["figures"].values()))
    yield from ((1, "gettext", text, []) for text in (book["title"], *filter(PLAIN_WORD.search, named)))


def template() -> Catalog:
    """Every pattern that the program says, with the files it stands in."""
    found = Catalog(charset="utf-8")
    for folder in ("engine", "tui"):
        ways = [
            ("**.py", of_python),
            ("explanations/**.toml", of_toml),
            ("wording.toml", of_toml),
            ("limits/**.toml", of_rulebook),
        ]
        for name, _, message, _, _ in extract_from_dir(ROOT / folder, ways):
            if message not in ("", ("", "")) and f"{folder}/{name}" != DEFINED:
                found.add(message, locations=[(f"{folder}/{name}", 0)])
    return found


# ------------------------------------------------------------------ catalogues


class Kept(Catalog):
    """A catalogue whose head holds what a program needs to read it, and no date or name of a tool."""

    @property
    def mime_headers(self):
        return [
            ("Language", str(self.locale)),
            ("Plural-Forms", self.plural_forms),
            ("MIME-Version", "1.0"),
            ("Content-Type", "text/plain; charset=utf-8"),
            ("Content-Transfer-Encoding", "8bit"),
        ]


def read(path: Path) -> Catalog:
    """A catalogue as it is on disk; of one that a merge left in two the translations of both sides."""
    first, second = (read_po(BytesIO(side), locale=path.parts[-3]) for side in sides(path.read_text(encoding="utf-8")))
    for message in second:
        had = first.get(message.id) if message.id else None
        if message.id and (had is None or not all(_strings(had))):
            first[message.id] = message
    return first


def sides(text: str) -> tuple[bytes, bytes]:
    """A file as the one and as the other side of a merge has it; twice the same where nothing is in conflict."""
    conflict = re.compile(r"^<{7} .*?\n(.*?)(?:^\|{7} .*?)?^={7}\n(.*?)^>{7} .*?\n", re.MULTILINE | re.DOTALL)
    return conflict.sub(r"\1", text).encode(), conflict.sub(r"\2", text).encode()


def merged(old: Catalog, patterns: Catalog) -> Catalog:
    """The patterns by file and then by letters, each with the translation it had."""
    new = Kept(locale=old.locale, header_comment=old.header_comment, charset="utf-8", fuzzy=False)
    for message in sorted(patterns, key=lambda m: (sorted(m.locations), _first(m))):
        if not message.id:
            continue
        had = old.get(message.id)
        same = had is not None and had.id == message.id
        new.add(
            message.id,
            had.string if same else None,
            sorted(set(message.locations)),
            user_comments=had.user_comments if same else (),
        )
        new[message.id].flags.clear()
    return new


def _first(message) -> str:
    return message.id[0] if isinstance(message.id, tuple) else message.id


def text_of(catalogue: Catalog) -> bytes:
    """A catalogue as its .po file's bytes."""
    file = BytesIO()
    write_po(file, catalogue, width=0, include_lineno=False)
    return file.getvalue()


def compiled(catalogue: Catalog) -> bytes:
    """A catalogue as the bytes that `tui/tongues/catalogue.py` reads: what is not said as in English."""
    said = {_first(message): unnamed(message) for message in catalogue if message.id and all(_strings(message))}
    parting = (m for m in MODULI if len({digest(one, m) for one in said}) == len(said))
    modulus = next(parting, None)
    if modulus is None:
        raise SystemExit("no modulus tells all patterns apart: change a word of the newest")
    texts = {digest(pattern, modulus): said[pattern] for pattern in said if catalogue[pattern].string != pattern}
    for low, high in pairwise([0, *sorted(texts)]):
        texts |= dict.fromkeys(range(high - WIDEST, low, -WIDEST), "")
    ordered = sorted(texts)
    steps = [high - low for low, high in pairwise([0, *ordered])]
    held = {
        "plural": catalogue.plural_expr,
        "modulus": modulus,
        "texts": [texts[key] for key in ordered],
        "far": "".join(str(step // 256) for step in steps),
    }
    return bz2.compress(json.dumps(held, ensure_ascii=False).encode()) + bytes(step % 256 for step in steps)


def unnamed(message) -> str | list[str]:
    """What a message says, parts without their names where they stand in its pattern's order."""
    ids, found = _ids(message), []
    for form, text in enumerate(_strings(message)):
        pattern = ids[min(form, len(ids) - 1)]
        bare = re.sub(r"(?<!\{)\{\w+\}", "{}", text)
        found.append(bare if parts_of(pattern) == parts_of(text) and "{}" not in text else text)
    return found if isinstance(message.string, tuple) else found[0]


def packed(path: Path) -> Path:
    """Where the compiled catalogue of a .po stands."""
    return path.with_suffix(".json.bz2")


def bring_up_to_date() -> list[str]:
    """Merges and compiles every catalogue; says of each how much is not translated yet."""
    patterns, said = template(), []
    for path in CATALOGUES:
        new = merged(read(path), patterns)
        path.write_bytes(text_of(new))
        packed(path).write_bytes(compiled(new))
        open_ = [m for m in new if m.id and not all(_strings(m))]
        said.append(f"{path.relative_to(ROOT)}: {len(new)} sentences, {len(open_)} not translated yet")
    return said


def _strings(message) -> tuple[str, ...]:
    return message.string if isinstance(message.string, tuple) else (message.string,)


def _ids(message) -> tuple[str, ...]:
    return message.id if isinstance(message.id, tuple) else (message.id,)


def _parts(text: str) -> set[str | None]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


# ------------------------------------------------------------------ the tests


@pytest.fixture(scope="module")
def patterns():
    return template()


@pytest.fixture(params=CATALOGUES, ids=lambda path: path.parts[-3])
def path(request):
    return request.param


def test_there_is_a_catalogue_for_every_tongue_but_english():
    from tui.tongues import Tongue

    assert {path.parts[-3] for path in CATALOGUES} == {tongue.value for tongue in Tongue} - {"en"}


def test_every_pattern_is_a_literal_that_can_be_gathered():
    """But for explanations, standing words and what rulebooks name, which are gathered from their files."""
    astray = [
        f"{source.relative_to(ROOT)}:{line}"
        for folder in ("engine", "tui")
        for source in sorted((ROOT / folder).rglob("*.py"))
        for line, arguments in makers(source.read_bytes())
        if None in [literals(pattern) for pattern in arguments]
    ]
    assert {place.rpartition(":")[0] for place in astray} <= {
        "tui/explanations/__init__.py",
        "engine/limits/figure_page.py",
        "engine/limits/rulebook.py",
        "engine/packed.py",
    }, astray


def test_no_pattern_has_a_part_without_a_name(patterns):
    nameless = [m.id for m in patterns if m.id and any(not name for one in _ids(m) for name in _parts(one))]
    assert nameless == []


def test_a_reader_finds_calls_inside_calls_and_both_sides_of_a_condition():
    source = b'phrase("a {x}", x=joined(", ", [phrase("b" " c") for _ in y]), z=phrase("d" if y else "e"))'
    assert {text for _, _, text, _ in of_python(BytesIO(source), {}, (), {})} == {"a {x}", "b c", "d", "e"}


def test_a_merge_in_conflict_keeps_what_either_side_translated():
    text = "a\n<<<<<<< one\nb\n||||||| base\n=======\nc\n>>>>>>> two\nd\n"
    assert sides(text) == (b"a\nb\nd\n", b"a\nc\nd\n")
    assert sides("a\n") == (b"a\n", b"a\n")


def test_it_holds_exactly_what_the_program_says(path, patterns):
    """Where this fails: `.venv/bin/python tests/tongues`."""
    held = {m.id for m in read(path) if m.id}
    said = {m.id for m in patterns if m.id}
    assert (said - held, held - said, dict(read(path).obsolete)) == (set(), set(), {})


def test_it_stands_as_the_command_writes_it(path, patterns):
    """Told without what differs: to find that in so long a text takes minutes."""
    is_same = path.read_bytes() == text_of(merged(read(path), patterns))
    assert is_same


def test_the_compiled_one_says_the_same(path):
    """Every form of every sentence, and nothing besides; what is said as in English is left out."""
    told, messages = Compiled(packed(path)), [m for m in read(path) if m.id]
    for message in messages:
        strings = _strings(message)
        if isinstance(message.id, tuple):
            assert (told.ngettext(*message.id, 1), told.ngettext(*message.id, 2)) == strings
        else:
            assert told.gettext(message.id) == strings[0]
    assert sum(map(bool, told._texts.values())) == len([m for m in messages if m.string != m.id])


def test_the_compiled_one_tells_in_english_what_it_lacks(path):
    told = Compiled(packed(path))
    assert told.gettext("not said by anyone") == "not said by anyone"
    assert [told.ngettext("{number} unsaid", "{number} unsaids", n) for n in (1, 2)] == [
        "{number} unsaid",
        "{number} unsaids",
    ]


def test_parts_in_another_order_keep_their_names(tmp_path):
    catalogue, file = Catalog(locale="es"), tmp_path / "order.json.bz2"
    for pattern, text in (("{a} of {b}", "de {b} {a}"), ("{{ {b} }} {a}", "{{ {b} }}: {a}")):
        catalogue.add(pattern, text)
    file.write_bytes(compiled(catalogue))
    assert [Compiled(file).gettext(m.id) for m in catalogue if m.id] == [m.string for m in catalogue if m.id]
    assert [unnamed(m) for m in catalogue if m.id] == ["de {b} {a}", "{{ {} }}: {}"]


def test_digests_far_apart_are_found_too(tmp_path):
    """Of two patterns one at least stands farther from what is before it than a digit and a byte tell."""
    catalogue, file = Catalog(locale="es"), tmp_path / "far.json.bz2"
    for pattern in ("near", "far"):
        catalogue.add(pattern, f"{pattern} dicho")
    file.write_bytes(compiled(catalogue))
    assert [Compiled(file).gettext(text) for text in ("near", "far", "else")] == ["near dicho", "far dicho", "else"]


def test_patterns_of_one_digest_are_told_apart_by_another_modulus(tmp_path):
    """ "plumless" and "buckeroo" are a pair that CRC-32 is known for: no modulus parts them, and none is compiled."""
    patterns, file = {}, tmp_path / "alike.json.bz2"
    for number in count():
        key = digest(f"pattern {number}", MODULI.start)
        if key in patterns:
            break
        patterns[key] = f"pattern {number}"
    alike = patterns[key], f"pattern {number}"
    for said in ([f"{pattern} dicho" for pattern in alike], ["dicho", alike[1]]):
        catalogue = Catalog(locale="es")
        for pattern, text in zip(alike, said, strict=True):
            catalogue.add(pattern, text)
        file.write_bytes(compiled(catalogue))
        assert [Compiled(file).gettext(pattern) for pattern in alike] == said
    for pattern in ("plumless", "buckeroo"):
        catalogue.add(pattern, "dicho")
    with pytest.raises(SystemExit, match="no modulus"):
        compiled(catalogue)


def test_its_letters_without_accents_are_plain_ascii(path):
    assert [text for m in read(path) if m.id for text in _strings(m) if not _without_accents(text).isascii()] == []


def test_every_translation_has_the_same_parts(path):
    wrong = []
    for message in read(path):
        wanted = [_parts(one) for one in _ids(message)]
        for i, text in enumerate(_strings(message)):
            if message.id and text and _parts(text) != wanted[min(i, len(wanted) - 1)]:
                wrong.append((message.id, text))
    assert wrong == []


def test_every_sentence_is_translated_and_none_by_guess(path):
    catalogue = read(path)
    assert [m.id for m in catalogue if m.id and (m.fuzzy or not all(_strings(m)))] == []


def test_a_sentence_that_is_set_in_or_goes_on_stays_so(path):
    """Spaces at either end are part of how sentences are put together."""

    def ends(text):
        return len(text) - len(text.lstrip()), len(text) - len(text.rstrip())

    wrong = [
        (one, text)
        for m in read(path)
        for one, text in zip(_ids(m), _strings(m), strict=True)
        if m.id and ends(one) != ends(text)
    ]
    assert wrong == []


def test_every_figure_in_a_sentence_stays_as_it_is(path):
    """The numbers written out in a sentence are the same in both tongues, be it in another order."""

    def numbers(text):
        return sorted(re.findall(r"\d+", text))

    wrong = [
        (one, text)
        for m in read(path)
        for one, text in zip(_ids(m), _strings(m), strict=True)
        if m.id and text and numbers(one) != numbers(text)
    ]
    assert wrong == []
