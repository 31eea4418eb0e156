"""How a layout is worked: the track, the ways over it, which routes exclude each other, what signals will be asked."""
