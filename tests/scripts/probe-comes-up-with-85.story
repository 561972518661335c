# A digital thermometer loses its supply for a moment and gives 85.000 °C. Heads are not cut by it.
begin: heads
alone: link, power

0:05  vapour-temp 85
      expect alarm probe-power-on within 6 s
      expect cuts suspended within 2 s
      expect phase heads for 40 s
      vapour-temp follows
      expect no alarm probe-power-on within 5 s
      expect phase heads
