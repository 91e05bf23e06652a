"""Rangelog: a log for the range tee that brings the start line back. Public names are resolved on first use."""

__version__ = "0.1.0"
