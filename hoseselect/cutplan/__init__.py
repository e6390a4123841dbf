"""From a route to lengths, clamps and windows."""
