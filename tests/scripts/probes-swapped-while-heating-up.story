# Plugged in the wrong way round: the "vapour" warms like the charge, the "boiler" stays cold.
begin: heat-up

0:05  vapour-temp rises 1.3 K/min until 70
      boiler-temp stays
      expect alarm probes-swapped within 8 min
      expect heat off within 2 min
