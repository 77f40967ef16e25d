"""Laying pieces on cloth: a first answer at once, better orders, the packing library, and an independent check."""
