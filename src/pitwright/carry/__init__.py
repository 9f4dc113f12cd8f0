"""The carry file: one page of a pit that opens on any phone without a line.

From the bottom up::

    markup      text that is escaped, elements, the policy with its hashes
    content     what a carry file holds
    plan_part   drawing, cut lists, steps, load: what the plan says
    more_parts  readings, wiring, what the record knows, cautions
    card_part   the box card
    page        the whole page with its styles and scripts
"""
