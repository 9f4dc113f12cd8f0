"""Small dense algebra for 2 to 40 unknowns: floats in lists and tuples, nothing to install.

Matrices are sequences of rows. A matrix of the wrong shape, or with a number that is not finite,
raises :class:`~pitwright.errors.Malformed`; a matrix that is singular to working precision is no
mistake and gives ``None``, or a rank, as each function says.
"""
