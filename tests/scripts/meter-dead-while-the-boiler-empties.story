# The meter counts a tenth of what comes. By the heat that went in, the charge must be gone.

0:10  collected-volume rises 0.03 L/min
      vapour-temp stays
      boiler-temp stays
      heat-power 12000
      expect heat off within 2 h
      expect trip energy-spent
