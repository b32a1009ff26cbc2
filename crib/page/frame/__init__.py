"""What every page is made with: what was asked, what is replied, the desk's threads, the forms.

A view takes an ``PageRequest`` and gives a ``Shown``, a ``Done`` or a ``GoTo``.
"""
