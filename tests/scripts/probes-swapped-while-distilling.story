# Swapped by someone who cleaned the plugs: the vapour cannot be hotter than what it rises from.

0:05  vapour-temp 88.5
      boiler-temp 80.3
      expect no alarm puking for 20 s
      expect alarm probes-swapped within 60 s
      expect cuts suspended within 5 s
      expect heat off within 90 s
