"""Paper: pages in millimetres, drawings of the pit, and what writes them as SVG and PDF.

From the bottom up::

    typeface   the shipped font: advances and outlines
    words      text as runs; a fraction is a run of its own
    marks      what a writer must know: strokes, fills, glyphs; nothing else
    ink        pens, eight dash styles, hatches
    shapes     lines, polygons, circles, texts, markers, leaders
    sheet      paper sizes, pages, sheets
    blocks     paragraphs, tables, check lists, drawings; flow puts them on pages
    svg, pdf   the two writers
    scene      a pit in three dimensions, and nothing of why
    camera     where it is looked at from; solid: tubes and their silhouettes; placing: words
    found      a survey as a scene; built: a train as a scene
    view       its plan, elevation and isometric; signs: legend, scale bar, direction
"""
