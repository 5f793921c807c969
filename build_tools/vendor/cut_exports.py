"""Cut the exports of Pyodide's WebAssembly module, and their list in its glue, to those the glue uses.

Nearly all of the exports are there for extension modules that are loaded later, and none ever is here.
For each one a browser makes a function at every start, and the glue looks each up and enters it into tables:
a good part of a start. What runs stays the same, byte for byte: the code of the module is not touched.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from build_tools.faults import Fault

ASSIGN = "function assignWasmExports(wasmExports){"
SIGN = "function applySignatureConversions(wasmExports){"
LINKED = frozenset({"memory", "__indirect_function_table", "__wasm_call_ctors", "__wasm_apply_data_relocs"})
"""What the glue looks up by name where it links, in loops over names: it stays, used or not."""
EXPORT_SECTION = 7
_HEADER = 8
_NAME = re.compile(r"[\w$]+")
_TAKEN = re.compile(r'(?:[\w$]+=|Module\["[^"]+"\]=)+wasmExports\["([^"]+)"\](?:\.value>>>0)?')
_SIGNED = re.compile(r'wasmExports\["([^"]+)"\]=makeWrapper_\w*\(wasmExports\["\1"\]\);')


def cut(glue: str, wasm: bytes, *users: str) -> tuple[str, bytes]:
    """Return the glue and the module without the exports that neither the glue nor its `users` name.

    Raises Fault where the glue is written in another way than this was made for.
    """
    before, statements, after = _parts(glue)
    declared = before.rindex("var ")
    names = before[declared + len("var ") :].rstrip(";").split(",")
    signing = after.index(SIGN)
    signed = after.index("return wasmExports}", signing)
    used = set(_NAME.findall("\n".join([before[:declared], after[:signing], after[signed:], *users])))
    kept = {export: taken for export, taken in statements if {export, *_variables(taken)} & used}
    gone = {name for export, taken in statements if export not in kept for name in _variables(taken)}
    wanted = LINKED | kept.keys()
    shorter = [
        before[:declared],
        "var " + ",".join(name for name in names if name not in gone) + ";",
        ASSIGN + ";".join(kept.values()) + after[:signing],
        _SIGNED.sub(lambda found: found[0] if found[1] in wanted else "", after[signing:signed]),
        after[signed:],
    ]
    return "".join(shorter), cut_module(wasm, wanted)


def _parts(glue: str) -> tuple[str, list[tuple[str, str]], str]:
    """Split the glue at the function that takes the exports in; each statement comes behind its export."""
    before, found, rest = glue.partition(ASSIGN)
    body, _, after = rest.partition("}")
    statements = [(_TAKEN.fullmatch(taken), taken) for taken in body.split(";")]
    known = found and SIGN in after and before.endswith(";") and all(match for match, _ in statements)
    if not known:
        raise Fault(
            "Pyodide's glue takes its exports in otherwise than it did.",
            "read pyodide.asm.mjs of this version, and mend build_tools/vendor/cut_exports.py.",
        )
    return before, [(match[1], taken) for match, taken in statements if match], "}" + after


def _variables(taken: str) -> set[str]:
    """Name the variables and the members of Module that a statement sets."""
    return set(_NAME.findall(taken.partition("wasmExports[")[0])) - {"Module"}


def cut_module(wasm: bytes, wanted: Collection[str]) -> bytes:
    """Return a WebAssembly module that exports of what it did only the `wanted` names; all else is as it was.

    Binary format: WebAssembly Core Specification 2.0, section 5.5 (W3C, https://www.w3.org/TR/wasm-core-2/).
    """
    out = [wasm[:_HEADER]]
    for number, content in sections(wasm):
        if number == EXPORT_SECTION:
            kept = [entry for name, entry in _exports(content) if name in wanted]
            content = _unsigned(len(kept)) + b"".join(kept)
        out.append(bytes([number]) + _unsigned(len(content)) + content)
    return b"".join(out)


def exports_of(wasm: bytes) -> list[str]:
    """Name what a WebAssembly module exports, in order."""
    found = (content for number, content in sections(wasm) if number == EXPORT_SECTION)
    return [name for content in found for name, _ in _exports(content)]


def sections(wasm: bytes) -> Iterator[tuple[int, bytes]]:
    """Return the number and the content of each section of a WebAssembly module, in order."""
    place = _HEADER
    while place < len(wasm):
        size, start = _read_unsigned(wasm, place + 1)
        yield wasm[place], wasm[start : start + size]
        place = start + size


def _exports(content: bytes) -> Iterator[tuple[str, bytes]]:
    """Return the name and the bytes of each export: a name, a byte for its kind, and its index."""
    count, place = _read_unsigned(content, 0)
    for _ in range(count):
        length, start = _read_unsigned(content, place)
        _, end = _read_unsigned(content, start + length + 1)
        yield content[start : start + length].decode("utf-8"), content[place:end]
        place = end


def _read_unsigned(content: bytes, place: int) -> tuple[int, int]:
    """Read a number in LEB128 and return it with the place behind it."""
    number = shift = 0
    while True:
        byte = content[place]
        place += 1
        number |= (byte & 0x7F) << shift
        if byte < 0x80:
            return number, place
        shift += 7


def _unsigned(number: int) -> bytes:
    """Write a number in LEB128."""
    out = bytearray()
    while number >= 0x80:
        out.append(number & 0x7F | 0x80)
        number >>= 7
    return bytes([*out, number])
