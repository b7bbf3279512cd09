"""Objects of a PDF: streams that are compressed once, fonts, and what a file tells of itself."""

from __future__ import annotations

import re
import zlib
from html import escape

from pydyf import PDF, Array, Dictionary, Object, Stream, String

from fieldapp.handover.pdf.letters import BOX, Letters

NONSYMBOLIC, ITALIC = 32, 64
"""flags of a font (ISO 32000-1, table 123)"""
STAMP = re.compile(r"(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d)(?::(\d\d))?\S*?(Z|[+-]\d\d:\d\d)")


def packed(data: bytes) -> Stream:
    """A stream that is compressed once, however often it is asked for."""
    return Stream([zlib.compress(data, 6)], {"Filter": "/FlateDecode"})


def added(pdf: PDF, one: Object) -> bytes:
    """The reference of an object, once it is in."""
    pdf.add_object(one)
    reference: bytes = one.reference
    return reference


def short(value: float) -> float:
    """A length to the hundredth of a point."""
    return round(value, 2)


def font(pdf: PDF, used: Letters) -> bytes:
    """A face with the codes that were written in it."""
    face = used.face
    name = f"/{face.name}"
    whole = Stream([face.packed], {"Length1": face.size, "Filter": "/FlateDecode"})
    about = {
        "Type": "/FontDescriptor",
        "FontName": name,
        "Flags": NONSYMBOLIC | (ITALIC if face.slant else 0),
        "FontBBox": Array(map(short, face.box)),
        "ItalicAngle": face.slant,
        "Ascent": face.ascent,
        "Descent": face.descent,
        "CapHeight": face.capital,
        "StemV": 10 + 220 * (face.weight - 50) / 900,  # common practice: no table tells it
        "FontWeight": face.weight,
        "FontFile2": added(pdf, whole),
    }
    described = added(pdf, Dictionary(about))
    system = {"Registry": String("Adobe"), "Ordering": String("Identity"), "Supplement": 0}
    inner = {
        "Type": "/Font",
        "Subtype": "/CIDFontType2",
        "BaseFont": name,
        "CIDSystemInfo": Dictionary(system),
        "FontDescriptor": described,
        "DW": face.widths[BOX],
        "W": Array([1, Array(used.widths())]),
        "CIDToGIDMap": added(pdf, packed(used.to_glyphs())),
    }
    outer = {
        "Type": "/Font",
        "Subtype": "/Type0",
        "BaseFont": name,
        "Encoding": "/Identity-H",
        "DescendantFonts": Array([added(pdf, Dictionary(inner))]),
        "ToUnicode": added(pdf, packed(used.to_unicode())),
    }
    return added(pdf, Dictionary(outer))


def date(stamp: str | None) -> str:
    """A time of a log as PDF writes one; empty where there is none.

    >>> date("2031-05-04T08:12+02:00")
    "D:20310504081200+02'00'"
    """
    found = STAMP.match(stamp or "")
    if found is None:
        return ""
    year, month, day, hour, minute, second, zone = found.groups()
    at = f"D:{year}{month}{day}{hour}{minute}{second or '00'}"
    return f"{at}Z" if zone == "Z" else f"{at}{zone[:3]}'{zone[4:]}'"


def xmp(title: str, language: str, about: str) -> str:
    """The same as an XMP packet."""
    said = f"<dc:description>{_alt(about)}</dc:description>" if about else ""
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/">'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">'
        "<dc:format>application/pdf</dc:format>"
        f"<dc:title>{_alt(title)}</dc:title>{said}"
        f"<dc:language><rdf:Bag><rdf:li>{escape(language)}</rdf:li></rdf:Bag></dc:language>"
        '</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end="r"?>'
    )


def _alt(text: str) -> str:
    return f'<rdf:Alt><rdf:li xml:lang="x-default">{escape(text)}</rdf:li></rdf:Alt>'
