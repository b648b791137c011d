"""A workbench for the people who keep offset presses inking well."""

__version__ = "0.1.0"
