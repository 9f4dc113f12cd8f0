"""Paper: pages in millimetres, drawings of the pit, and what writes them as SVG and PDF.

From the bottom up::

    typeface   the shipped font: advances and outlines
    words      text as runs; a fraction is a run of its own
    marks      what a writer must know: strokes, fills, glyphs; nothing else
    ink        pens, eight dash styles, hatches
    shapes     lines, polygons, circles, texts, markers, leaders
    flow       paragraphs, tables, check lists and drawings flowed onto pages
    sheet      paper sizes, pages, sheets
    svg, pdf   the two writers
    scene      a pit in three dimensions; camera, view: its plan, elevation and isometric
"""
