"""For every safeguard a context in which it must speak and a near miss in which it must not; and the same for every rule of safe
practice that the tool computes by other means than a safeguard."""
