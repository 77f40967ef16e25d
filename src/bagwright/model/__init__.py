"""The frozen values that pass between rooms: materials, pieces, seams, patterns, layouts, money, answers."""
