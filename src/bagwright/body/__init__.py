"""How a stack of cloth bends, stands and weighs, and the thread it takes: one function per formula. Pure."""
