"""Pictures of a manual: made smaller, without place and camera data, and drawn with their numbered call-outs."""

from build_hooks.pictures.figure import CallOut, Photo, photo_figure, wall_photo
from build_hooks.pictures.files import (
    BUDGET,
    fault_of,
    is_picture,
    picture_faults,
    picture_problems,
    picture_warnings,
    states_of_files,
    write_pictures,
)
from build_hooks.pictures.made import Picture, PictureFault, made_picture, picture_of

__all__ = [
    "BUDGET",
    "CallOut",
    "Photo",
    "Picture",
    "PictureFault",
    "fault_of",
    "is_picture",
    "made_picture",
    "photo_figure",
    "picture_faults",
    "picture_of",
    "picture_problems",
    "picture_warnings",
    "states_of_files",
    "wall_photo",
    "write_pictures",
]
