"""The door and the rooms a person sees: the launcher, the pages' panels and the 3D view."""
