"""Choose bulk hose for auxiliary lines under the bonnet of a road vehicle, and its cut length."""

__version__ = "0.1.0"
