"""Which spot inks a page names, anywhere in what it draws with."""

from __future__ import annotations

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Stream

from filmsplit.formats.pdf.inks import PROCESS
from filmsplit.formats.pdf.malformed import Malformed
from filmsplit.formats.pdf.space_named import ALL, NONE, colorants_of

MOST_OBJECTS = 2_000_000
"""Of one page (invented); what is not looked at then is told by its colours, which have no plate."""
LEFT_OUT = frozenset(
    {
        *("/Parent", "/Metadata", "/PieceInfo", "/Properties", "/StructParent", "/StructParents", "/ToUnicode"),
        *("/FontDescriptor", "/Alternates"),
        # These tell how masks look, not what is printed.
        "/SMask",
    }
)
LEFT_OUT_OF_OBJECTS = frozenset({"/P", "/Pg", "/OC", "/OPI", "/Dest", "/A", "/AA", "/Popup", "/IRT"})
"""What leads from annotations and pictures to elsewhere. Resources may have such names, too: they have no type."""
SPACES = (Name.Separation, Name.DeviceN)
KNOWN = frozenset({*PROCESS, ALL, NONE})


def spots_of(pdf: pikepdf.Pdf, page: pikepdf.Page) -> tuple[str, ...]:
    """Names of the spot inks in the resources of a page and all they lead to, and in the looks of its annotations,
    in the order in which they are met."""
    assert page.obj.is_owned_by(pdf)
    found: dict[str, None] = {}
    seen: set[tuple[int, int]] = set()
    waiting: list[Object] = [each for each in (page.obj.get("/Annots"), _resources(page)) if each is not None]
    for _ in range(MOST_OBJECTS):
        if not waiting:
            break
        thing = waiting.pop()
        if thing.objgen != (0, 0):
            if thing.objgen in seen:
                continue
            seen.add(thing.objgen)
        if isinstance(thing, Array) and len(thing) and isinstance(thing[0], Name) and thing[0] in SPACES:
            found.update(dict.fromkeys(_named(thing)))
        else:
            waiting.extend(reversed(_within(thing)))
    return tuple(found)


def _resources(page: pikepdf.Page) -> Object | None:
    """Its own, or those of the branch of the page tree it hangs on."""
    node: Object | None = page.obj
    for _ in range(64):
        if not isinstance(node, Dictionary):
            return None
        if "/Resources" in node:
            return node["/Resources"]
        node = node.get("/Parent")
    return None


def _within(thing: Object) -> list[Object]:
    if isinstance(thing, Array):
        inner = list(thing)
    elif isinstance(thing, (Dictionary, Stream)):
        has_type = isinstance(thing.get("/Subtype"), Name) or isinstance(thing.get("/Type"), Name)
        left_out = LEFT_OUT | LEFT_OUT_OF_OBJECTS if has_type else LEFT_OUT
        inner = [value for key, value in thing.items() if key not in left_out]
    else:
        return []
    return [each for each in inner if isinstance(each, (Array, Dictionary, Stream))]


def _named(space: Object) -> list[str]:
    try:
        return [each for each in colorants_of(space) if each not in KNOWN]
    except Malformed:
        return []
