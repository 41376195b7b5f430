"""The checks of what exists: a made panel, a groove, a room, the months of a shop."""
