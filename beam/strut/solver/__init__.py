"""The span solved: from loads to forces, displacements, modes, buckling and large displacements."""
