"""every error, warning and label a person can meet, each with its slug and its page"""

from filmsplit.messages.catalogue import label
from filmsplit.messages.problem import Place, Problem, Refusal, Severity
from filmsplit.messages.quantities import numbers_read, read_as, scale_read, unit_read

__all__ = ["Place", "Problem", "Refusal", "Severity", "label", "numbers_read", "read_as", "scale_read", "unit_read"]
