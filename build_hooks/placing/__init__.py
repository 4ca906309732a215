"""Placing the call-outs of a photograph by pointing at it: a page of our own, served to its author's machine only."""

from build_hooks.placing.application import placing_application
from build_hooks.placing.subject import Subject, subject_of

__all__ = ["Subject", "placing_application", "subject_of"]
