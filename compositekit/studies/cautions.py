"""Sentences of caution that more than one study shows, kept once so that the build sheet does not repeat itself."""

SENSITISING = ("Hardener and mixed resin sensitise the skin for good, and vinyl ester and polyester give off styrene: gloves, eye protection and "
               "ventilation. The supplier's data sheet and local fire and health rules come before this page.")
VACUUM_POT = ("An evacuated pot can implode: use only a vessel made for vacuum, without cracks, wear eye protection, and never carry it "
              "under vacuum.")
