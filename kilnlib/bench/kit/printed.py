"""One page of paper as HTML: the sample sheet and the wall card are printed on the same one."""

import html

# Inside 10 mm margins A4 leaves 190 × 277 mm and Letter 196 × 259 mm: the page fits the smaller of each.
WIDTH_MM, HEIGHT_MM = 190, 257


def printed(title: str, font: str, style: str, body: str, language: str = "en") -> bytes:
    """A page with a title; `font` is size and line height of its text, `style` the rest of its CSS."""
    return f"""<!DOCTYPE html>
<html lang="{language}"><head><meta charset="utf-8"><title>{html.escape(title)}</title><style>
@page {{size: portrait; margin: 10mm}}
* {{box-sizing: border-box; margin: 0; padding: 0}}
body {{font: {font} "DejaVu Sans", Arial, sans-serif; color: #111; width: {WIDTH_MM}mm; margin: 0 auto}}
main {{height: {HEIGHT_MM}mm; position: relative; overflow: hidden; break-inside: avoid}}
{style.strip()}
</style></head><body><main>
{body.strip()}
</main></body></html>
""".encode()
