"""Functions of a PDF against hand arithmetic and against a PostScript interpreter that runs the same words.

Source: ISO 32000-2, 7.10.
"""

from __future__ import annotations

import os
import shutil
import subprocess

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pikepdf import Array, Dictionary, Name

from filmsplit.formats.pdf.calculator_words import WORDS
from filmsplit.formats.pdf.functions import function_of
from filmsplit.formats.pdf.malformed import Malformed
from formats.pdf.made_functions import IDENTITY, column, power, program, stitched, stream, table

EXAMPLES = int(os.environ.get("FILMSPLIT_FUZZ_EXAMPLES", "150"))
QUICK = settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)


def of(described: object, *values: float) -> list[float]:
    """The outputs for one set of inputs."""
    return [float(each) for each in function_of(described)(np.array([values]))[0]]


def test_power_between_two_ends() -> None:
    assert of(power([0.2, 1.0], [0.6, 0.0], 2), 0.5) == pytest.approx([0.2 + 0.4 * 0.25, 1.0 - 0.25])


def test_inputs_are_kept_within_the_domain_and_outputs_within_the_range() -> None:
    assert of(power([0.0], [2.0], 1, Range=[0, 1.5]), 7.0) == [1.5]
    assert of(power([0.0], [2.0], 1), -7.0) == [0.0]


def test_stitches_meet_where_they_are_told() -> None:
    made = stitched([power([0.0], [1.0]), power([0.5], [0.0])], [0.25], [0, 1, 1, 0])
    # at a bound the later stretch begins; the second runs backwards
    found = function_of(made)(column(0.0, 0.125, 0.2499999, 0.25, 0.625, 1.0))[:, 0]
    assert found == pytest.approx([0.0, 0.5, 1.0, 0.0, 0.25, 0.5], abs=1e-5)


def test_a_stretch_of_no_length_takes_the_start_of_its_encoding() -> None:
    made = stitched([power([0.0], [1.0]), power([0.0], [1.0])], [0.0], [0.3, 1, 0, 1])
    assert of(made, 0.0) == [0.0]


@pytest.mark.parametrize("bits", [1, 2, 4, 8, 12, 16, 24, 32])
def test_samples_of_every_depth(bits: int) -> None:
    top = 2**bits - 1
    made = table([0, top, top // 2, 0], [4], bits=bits)
    # places of the samples are thirds; between them straight lines
    assert of(made, 0.0) == [0.0]
    assert of(made, 1 / 6) == pytest.approx([0.5])
    assert of(made, 1 / 3) == pytest.approx([1.0])
    assert of(made, 0.5) == pytest.approx([(1 + (top // 2) / top) / 2])


def test_samples_of_two_inputs_and_two_outputs() -> None:
    # f(x, y) = (x, y) from its corners, the first input fastest
    made = table([0, 0, 255, 0, 0, 255, 255, 255], [2, 2], Range=[0, 1, 0, 1])
    assert of(made, 0.3, 0.9) == pytest.approx([0.3, 0.9])


def test_samples_encoded_and_decoded() -> None:
    made = table([0, 255], [2], Domain=[0, 10], Encode=[1, 0], Decode=[2, 4], Range=[0, 10])
    assert of(made, 2.5) == pytest.approx([2 + 2 * 0.75])


def test_samples_of_many_inputs_are_products() -> None:
    """A table with one corner full is the product of all inputs."""
    made = table([0] * 255 + [255], [2] * 8)
    inputs = np.random.default_rng(7).random((40, 8))
    assert function_of(made)(inputs)[:, 0] == pytest.approx(inputs.prod(axis=1))


def test_a_table_of_one_sample_is_constant() -> None:
    assert of(table([128], [1]), 0.7) == pytest.approx([128 / 255])


def test_functions_side_by_side() -> None:
    assert of(Array([power([0.0], [1.0]), power([1.0], [0.0])]), 0.25) == pytest.approx([0.25, 0.75])
    assert of(IDENTITY, 0.25) == [0.25]


CALCULATED = {
    "2 mul 1 exch sub": ((0.25,), [0.5]),
    "dup 0.5 lt {pop 0} {pop 1} ifelse": ((0.7,), [1.0]),
    "dup 0.5 ge {2 mul} if": ((0.7,), [1.4]),
    "3 1 roll": ((1, 2, 3), [3, 1, 2]),
    "3 -1 roll": ((1, 2, 3), [2, 3, 1]),
    "2 index": ((1, 2, 3), [1, 2, 3, 1]),
    "2 copy": ((1, 2), [1, 2, 1, 2]),
    "7 2 idiv -7 2 idiv -5 3 mod pop": ((1,), [1, 3, -3]),
    "-5 3 mod 5 -3 mod": ((1,), [1, -2, 2]),
    "truncate": ((-4.8,), [-4]),
    "round": ((-6.5,), [-6]),
    "ceiling": ((3.2,), [4]),
    "floor": ((-4.8,), [-5]),
    "1 0 atan 0 1 atan -100 0 atan 4 4 atan": ((1,), [1, 90, 0, 270, 45]),
    "30 sin 60 cos": ((1,), [1, 0.5, 0.5]),
    "9 0.5 exp": ((1,), [1, 3]),
    "100 log 10 ln": ((1,), [1, 2, np.log(10)]),
    "7 3 bitshift 142 -3 bitshift": ((1,), [1, 56, 17]),
    "99 1 and 52 7 and 17 5 or 7 3 xor 52 not": ((1,), [1, 1, 4, 21, 4, -53]),
    "true false or {5} {6} ifelse": ((1,), [1, 5]),
    "true not {5} {6} ifelse": ((1,), [1, 6]),
    "16#1F 1e2 .5 +3": ((1,), [1, 31, 100, 0.5, 3]),
    "% a remark { \n 2 add": ((1,), [3]),
}
"""Words and what they leave; most are the examples of the PostScript Language Reference, third edition, 8.2."""


@pytest.mark.parametrize("words", CALCULATED)
def test_words_of_the_calculator(words: str) -> None:
    given_, left = CALCULATED[words]
    assert of(program(f"{{ {words} }}", len(given_), len(left)), *given_) == pytest.approx(left)


def test_samples_go_their_own_ways() -> None:
    made = function_of(program("{ dup 0 lt { neg dup 5 gt { pop 5 } if } { 2 mul } ifelse }", 1, 1))
    assert made(column(-9, -3, 0, 4))[:, 0].tolist() == [5, 3, 0, 8]


def test_ways_that_leave_differently_much_are_gone_one_by_one() -> None:
    made = function_of(program("{ dup 0 lt { 1 2 } { 3 } ifelse }", 1, 1))
    assert made(column(-1, 1))[:, 0].tolist() == [2, 3]
    made = function_of(program("{ 10 20 30 4 -1 roll index }", 1, 1))
    assert made(column(0, 2, 1))[:, 0].tolist() == [30, 10, 20]


def test_what_the_standard_calls_an_error_still_gives_a_number() -> None:
    for words in (
        "0 div",
        "0 idiv",
        "0 mod",
        "-1 mul sqrt",
        "pop -1 ln",
        "pop 0 log",
        "pop -8 0.5 exp",
        "pop 0 -1 exp",
    ):
        assert np.isfinite(of(program(f"{{ {words} }}", 1, 1), 4.0)).all(), words


MALFORMED = {
    "no function": Dictionary(),
    "unknown type": Dictionary(FunctionType=9, Domain=[0, 1]),
    "type 1": stream(b"", FunctionType=1, Domain=[0, 1], Range=[0, 1]),
    "no domain": Dictionary(FunctionType=2, N=1),
    "odd domain": Dictionary(FunctionType=2, N=1, Domain=[0, 1, 2]),
    "domain backwards": Dictionary(FunctionType=2, N=1, Domain=[1, 0]),
    "two inputs for one": Dictionary(FunctionType=2, N=1, Domain=[0, 1, 0, 1]),
    "ends of different length": power([0.0], [1.0, 1.0]),
    "no exponent": Dictionary(FunctionType=2, Domain=[0, 1]),
    "a word for a number": Dictionary(FunctionType=2, Domain=[0, 1], N=Name.One),
    "stretches backwards": stitched([power([0.0], [1.0])] * 3, [0.7, 0.3], [0, 1] * 3),
    "too few stretches": stitched([power([0.0], [1.0])], [0.5], [0, 1] * 2),
    "unlike stretches": stitched([power([0.0], [1.0]), power([0.0] * 2, [1.0] * 2)], [0.5], [0, 1] * 2),
    "nested without end": None,
    "samples missing": stream(b"ab", FunctionType=0, Domain=[0, 1], Range=[0, 1], Size=[3], BitsPerSample=8),
    "seven bits": stream(b"abc", FunctionType=0, Domain=[0, 1], Range=[0, 1], Size=[3], BitsPerSample=7),
    "huge table": stream(b"abc", FunctionType=0, Domain=[0, 1] * 3, Range=[0, 1], Size=[4096] * 3, BitsPerSample=8),
    "size of nothing": stream(b"abc", FunctionType=0, Domain=[0, 1], Range=[0, 1], Size=[0], BitsPerSample=8),
    "no brace": program("2 mul", 1, 1),
    "open brace": program("{ 2 mul", 1, 1),
    "words behind the end": program("{ 2 mul } 3", 1, 1),
    "unknown word": program("{ 2 mul run }", 1, 1),
    "empty stack": program("{ pop pop }", 1, 1),
    "too little left": program("{ }", 1, 2),
    "branch without a procedure": program("{ 0 lt if }", 1, 1),
    "branch on a number": program("{ {1} if }", 1, 1),
    "sum of true": program("{ true add }", 1, 1),
    "deep braces": program("{" * 40 + "}" * 40, 1, 1),
    "long program": program("{" + " 1 pop" * 30000 + "}", 1, 1),
    "copy of too much": program("{ 5 copy }", 1, 1),
    "high stack": program("{" + " dup" * 2000 + "}", 1, 1),
}


@pytest.mark.parametrize("name", MALFORMED)
def test_what_is_malformed_is_told(name: str) -> None:
    described = MALFORMED[name]
    if described is None:
        described = power([0.0], [1.0])
        for _ in range(12):
            described = stitched([described], [], [0, 1])
    with pytest.raises(Malformed):
        of(described, 0.5)


def test_an_array_of_itself_ends() -> None:
    loop = stream(b"").get("/no")
    assert loop is None
    owner = stream(b"", FunctionType=3, Domain=[0, 1], Bounds=[], Encode=[0, 1])
    owner["/Functions"] = Array([owner])
    with pytest.raises(Malformed):
        function_of(owner)


WORD = st.sampled_from(
    [*WORDS, "{", "}", "if", "ifelse", "{ 1 } if", "0", "1", "-2.5", "3", "0.5", "100000", "{ dup }"]
)
INTERPRETER = shutil.which("gs")
NUMERIC = ["abs", "add", "ceiling", "cvi", "cvr", "div", "floor", "idiv", "mod", "mul", "neg", "round", "sub"]
STACKED = ["truncate", "copy", "dup", "exch", "index", "pop", "roll", "sin", "cos", "atan", "sqrt", "not", "bitshift"]


@given(st.lists(WORD, max_size=25), st.integers(1, 3))
@QUICK
def test_no_program_does_more_than_be_malformed(words: list[str], inputs: int) -> None:
    try:
        made = function_of(program("{ " + " ".join(words) + " }", inputs, 1))
        found = made(np.linspace(-1, 1, 4 * inputs).reshape(4, inputs))
    except Malformed:
        return
    assert found.shape == (4, 1)
    assert np.isfinite(found).all()


@given(
    st.dictionaries(
        st.sampled_from(
            ["FunctionType", "Domain", "Range", "Size", "BitsPerSample", "Encode", "Decode", "N", "C0", "C1"]
        ),
        st.one_of(
            st.integers(-5, 40),
            st.floats(-1e6, 1e6, allow_nan=False),
            st.lists(st.integers(-3, 9), max_size=6),
            st.just(Name.DeviceGray),
        ),
    ),
    st.binary(max_size=80),
)
@QUICK
def test_no_dictionary_does_more_than_be_malformed(entries: dict[str, object], data: bytes) -> None:
    entries = {"FunctionType": 0, "Domain": [0, 1], **entries}
    try:
        made = function_of(stream(data, **entries))
        found = made(np.full((3, made.inputs), 0.4))
    except Malformed:
        return
    assert found.shape == (3, made.outputs)


@pytest.mark.skipif(INTERPRETER is None, reason="no PostScript interpreter")
def test_programs_leave_what_a_postscript_interpreter_leaves() -> None:
    """Random words; where the interpreter has no error, the number on top is the same."""
    random = np.random.default_rng(11)
    programs = [_random_program(random) for _ in range(400)]
    lines = [
        f"clear {{ 0.75 3 {words} }} stopped {{ clear (error) }} {{ count 0 eq {{ (error) }} if }} ifelse =="
        for words in programs
    ]
    told = subprocess.run(
        [INTERPRETER, "-q", "-dNODISPLAY", "-dBATCH", "-"],
        input="\n".join(lines),
        capture_output=True,
        text=True,
        check=True,
    ).stdout.splitlines()
    compared = 0
    for words, line in zip(programs, told, strict=True):
        if line in ("(error)", "true", "false"):
            continue
        found = of(program(f"{{ 3 {words} }}", 1, 1, most=1e9), 0.75)[0]
        assert found == pytest.approx(float(line), rel=1e-4, abs=1e-4), words
        compared += 1
    assert compared > 100


def _random_program(random: np.random.Generator) -> str:
    words = [*NUMERIC, *STACKED, "1", "2", "0.5", "-3.25", "7", "dup 1 gt { 2 mul } { 3 add } ifelse"]
    return " ".join(random.choice(words, size=random.integers(1, 9)))
