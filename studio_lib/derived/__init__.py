"""What follows from a commission, a module for each kind of question; ``studio_lib.derive`` is the door."""
