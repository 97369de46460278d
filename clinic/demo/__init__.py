"""An invented clinic to try things in: its people are told as stories, through the same acts as real ones."""
