# It repeats 82.x to the last digit while the boiler goes on. No cut by it; a minute later the run is held.

0:05  vapour-temp sticks
      boiler-temp rises 0.3 K/min
      expect alarm probe-stuck within 7 min
      expect cuts suspended within 5 s
      expect state held within 90 s
