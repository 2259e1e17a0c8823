"""Whatever the engine says keeps the patterns it was made of: no word is lost on the way to another tongue.

A made-up tongue leaves the words of every pattern out; what is left then is a figure, a name or a source.
"""

import re
import string
import tomllib
from dataclasses import fields, is_dataclass
from gettext import NullTranslations
from pathlib import Path

import pytest

import engine.limits
from engine.errors import FallmarkError, JobError, QuantityError
from engine.job.edit import with_entry
from engine.job.toml_file import read_job
from engine.limits.findings import Finding
from engine.limits.rulebook import Limit
from engine.phrases import told
from engine.quantities import Dimension, Units, parse
from engine.remedies import remedies
from engine.sheets.least_bed import least_bed_words
from engine.sheets.remedy_words import remedy_words
from engine.survey.spot import Needs
from engine.why import explained, known_figures

SAMPLES = sorted((Path(__file__).parents[1] / "sample_jobs").glob("*.toml"))
BROKEN = sorted(Path(__file__).parent.glob("broken_jobs/*.toml"))
UNITS = {"psf", "kPa", "deg", "min"}
SHORTEST = 3  # letters in a row that are a word


class Marked(NullTranslations):
    """Every letter of a pattern is left out; its parts are told by themselves."""

    def gettext(self, message):
        parsed = string.Formatter().parse(message)
        return " ".join("" if name is None else f"{{{name}}}" for _, name, _, _ in parsed)

    def ngettext(self, one, many, number):
        return self.gettext(one if number == 1 else many)


def titles():
    """What the rulebooks call their sources and works."""
    found = []
    for path in Path(engine.limits.__file__).parent.glob("*.toml"):
        book = tomllib.loads(path.read_text(encoding="utf-8"))
        found += [book["works"], *(figure["source"] for figure in book["figures"].values())]
        found += [figure["value"] for figure in book["figures"].values()]
    return set(re.findall(r"[A-Za-z]+", " ".join(found)))


NAMES = titles() | UNITS


def lost(text, typed=""):
    """The words of a text that no pattern holds: neither the file's keys, nor units, sources, or what was typed."""
    rest = re.sub(r"[\w-]+(?:\[\d+\])?(?:\.[\w\"-]+(?:\[\d+\])?)+", " ", str(told(text, Marked())))
    words = re.findall(rf"[A-Za-z]{{{SHORTEST},}}", rest)
    return [word for word in words if word not in NAMES and word not in typed]


def texts(thing):
    """Every text in a result of the stages that a person reads, with those inside it."""
    if isinstance(thing, tuple | list):
        for one in thing:
            yield from texts(one)
    elif is_dataclass(thing) and not isinstance(thing, Limit):
        for field in fields(thing):
            value = getattr(thing, field.name)
            if field.name not in (
                "rule",
                "key",
                "change",
                "hazard",
                "item",
                "name",
                "level",
                "kind",
                "days",
                "unit",
            ):
                yield from texts(value)
    elif type(thing).__name__ in ("str", "Phrase", "Joined", "Shaped"):
        yield thing


def of_work(work):
    """What is said of the work, by its parts."""
    yield from texts((work.layers, work.shopping, [step.task for step in work.order]))
    yield from texts([way.why for way in work.ways])


@pytest.fixture(scope="module", params=SAMPLES, ids=lambda path: path.stem)
def made(plan_of, request):
    return plan_of(request.param), request.param.read_text(encoding="utf-8")


def test_findings_keep_theirs(made):
    found, typed = made
    for finding in found.findings:
        assert isinstance(finding, Finding)
        assert [lost(text, typed) for text in (finding.says, finding.remedy)] == [[], []], finding


def test_the_work_keeps_its_words(made):
    found, typed = made
    if not isinstance(found.work, Needs):
        assert {text: lost(text, typed) for text in of_work(found.work) if lost(text, typed)} == {}


def test_how_each_figure_came_about_keeps_its_words(made):
    found, typed = made
    for figure in known_figures(found)[:14]:
        title, paragraphs = explained(found, figure) or ("", [])
        for text in (title, *(text for part in paragraphs for text in part)):
            assert lost(text, typed) == [], text
    for part in least_bed_words(found):
        assert [lost(text, typed) for text in part] == [[], []], part


@pytest.mark.parametrize("name", ["bath_house", "quarry_lane", "signal_box"])
def test_remedies_keep_theirs(plan_of, name):
    found = plan_of(SAMPLES[0].with_name(f"{name}.toml"))
    rules = " ".join(finding.rule for finding in found.findings) + " built-fall-low curb-low"
    for answer in remedies(found):
        says = [remedy_words(way) for way in answer.remedies] + list(answer.ruled_out)
        assert [lost(text, rules) for text in says] == [[] for _ in says], says


def test_refusals_keep_theirs():
    """The fault and the remedy of every broken job; a word from its file, and the words that may stand there, stay."""
    for path in BROKEN:
        with pytest.raises(FallmarkError) as caught:
            read_job(path)
        typed = path.read_bytes().decode("latin-1") + str(caught.value.remedy)
        assert lost(caught.value.fault, typed) == [], path.stem


@pytest.mark.parametrize("dimension", Dimension)
def test_quantities_refused_keep_theirs(dimension):
    for text in ("", "4x", "1/0", "1,2,3", "1e3", "-", "3 4", "12 parsecs", "9" * 90):
        with pytest.raises(QuantityError) as caught:
            parse(text, dimension, Units.INCH)
        assert (lost(caught.value.fault, text), lost(caught.value.remedy, text)) == ([], []), text


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("drains[0].at", "Q"),
        ("outline.walls", "x"),
        ("bed.fall", "0"),
        ("job.units", "ells"),
        ("no.such", "1"),
    ],
)
def test_an_entry_refused_keeps_its_words(key, text):
    with pytest.raises(JobError) as caught:
        with_entry(read_job(SAMPLES[0]), key, text)
    assert lost(caught.value.fault, text) == []
