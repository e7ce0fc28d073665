"""PDFs of a packet, read by pypdf 7.1: text, bookmarks, embedded fonts, page numbers, paper."""
import json
import pathlib
import sys

from pypdf import PdfReader

# ISO 216 and ANSI/ASME Y14.1, in points of 1/72 in.
SIZES = {"a4": {595, 842}, "letter": {612, 792}}


def words(text):
    return "".join(text.split())


def main(folder):
    given = json.load(sys.stdin)
    found, files = [], sorted(pathlib.Path(folder).rglob("*.pdf"))
    for file in files:
        reader = PdfReader(file)
        name = file.relative_to(folder)
        if not reader.outline:
            found.append(f"{name}: no bookmarks")
        for number, page in enumerate(reader.pages, 1):
            size = {int(page.mediabox.width), int(page.mediabox.height)}
            if any(min(abs(side - one) for one in SIZES[given["paper"]]) > 1 for side in size):
                found.append(f"{name}: page {number} measures {size}")
            if words(f"page {number} of {len(reader.pages)}") not in words(page.extract_text()):
                found.append(f"{name}: page {number} has no number")
            for font in page["/Resources"].get("/Font", {}).values():
                font = font.get_object()
                inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
                if font["/Subtype"] != "/Type3" and not any(
                    key.startswith("/FontFile") for key in inner["/FontDescriptor"]
                ):
                    found.append(f"{name}: {font['/BaseFont']} is not embedded")
    text = words("".join(page.extract_text() for page in PdfReader(pathlib.Path(folder, "packet.pdf")).pages))
    found += [f"packet.pdf: no plate '{plate}'" for plate in given["plates"] if words(plate) not in text]
    json.dump({"files": len(files), "found": found[:20]}, sys.stdout)


main(sys.argv[1])
