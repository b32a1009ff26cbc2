"""What a matched set cuts from a plate's edge or corner: ``notch``, ``vee`` and ``corner``.

``SetFeature`` and ``SetAnswers`` are what they share, ``chain_findings`` judges by a ``SetCase``;
``NotchHits`` and ``CornerHits`` plan several hits.
"""
