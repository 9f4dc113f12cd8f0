"""The app's pages: functions from (state, request) to HTML, without I/O or any server.

From the bottom up::

    html        elements that escape what is put into them
    asked       what came with a request; what a page answers; what a form wants written
    frame       the shell of every page: heading, steps of the work, notices
    fields      form fields that keep what was typed and say what is wrong with it
    keys        what is measured at a pit, and how it is typed
    readings    entries of the record as the text of a survey, and back
    standing    a pit, a property, a shop as the pages need them
    drawing     a scene as SVG that a finger can turn
    properties, pit, day, look, measure, choose, build, prove, close: one page each
"""
