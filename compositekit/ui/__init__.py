"""What a person sees and touches."""

import os

# one message less at every step of a slider; a second window on one page would be the only reader of the echo
os.environ.setdefault("JUPYTER_WIDGETS_ECHO", "0")
