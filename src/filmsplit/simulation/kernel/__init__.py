"""The marching kernel in C, where a compiler was there when the package was built; the NumPy one does the rest."""
