"""What can go wrong with a sheet, one sentence each.

Public: SheetError.
"""


class SheetError(ValueError):
    """A sheet that cannot be written or read; the message names file and field, and the mend."""
