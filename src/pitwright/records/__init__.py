"""The record: a memory of what lies buried, append-only, joined from any number of sides.

From the bottom up::

    canonical   one text for one value
    when        spans of time as people know them, clocks that may be wrong
    entry       a header whose hash is its name; a body that may be erased
    kinds       what a body of each kind holds; older versions read as today's
    fold        the state of a subject as a function of the set of its entries
    database    what a store asks of SQLite or PostgreSQL; sqlite, postgres answer
    photo       a file's type by its content, place and time taken off it
    files       files by the hash of the kept bytes
    views       what can be dropped and built again: index, links, words
    store       writing, accepting, setting aside, reading, erasing
    exchange    what two stores lack of each other, in process or over any line
    archive     the same by a file; backup and restore
    ties        where two taped distances meet
    history     one pit's time line
    trends      series, drift, and which valve next
    export      CSV, GeoJSON, survey texts
"""
