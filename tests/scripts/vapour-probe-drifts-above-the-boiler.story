# The vapour probe creeps up, half a kelvin a minute.

0:05  vapour-temp rises 0.5 K/min until 91
      expect alarm probes-impossible within 20 min
      expect cuts suspended within 5 s
      expect heat off within 90 s
