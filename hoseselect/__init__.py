"""Choose bulk hose for auxiliary lines under the bonnet of a road vehicle, and say how long to cut it."""

__version__ = "0.1.0"
