"""The register of one competition: its entries, the numbers issued, what is printed, and every change with its time.

``book`` opens it, ``state`` is what stands in it, ``journal`` how it is kept.
"""
