"""What can go wrong with a sheet: SheetError, one sentence each."""


class SheetError(ValueError):
    """A sheet that cannot be written or read; the message names file and field, and the mend."""
