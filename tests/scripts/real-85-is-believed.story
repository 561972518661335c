# Nothing forbids 85 °C: the vapour climbs through it, and the run goes on.
alone: link, power

0:05  vapour-temp rises 2 K/min until 85
      boiler-temp rises 2 K/min until 88
      expect no alarm probe-power-on for 6 min
      expect heat on
