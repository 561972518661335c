# A hose kinks. At half of what the boiler may stand the heat is halved, at all of it it goes off.

0:05  boiler-pressure rises 40 hPa/min until 75
      expect alarm boiler-pressure-high within 2 min
      expect heat about 40 %
      expect heat off within 2 min
      expect trip boiler-over-pressure
      expect receiver hearts open
