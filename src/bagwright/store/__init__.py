"""What the maker keeps, in one SQLite file: bags, materials, offers, her workroom, the best layouts found."""
