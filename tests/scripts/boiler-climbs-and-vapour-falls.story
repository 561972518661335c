# In a pot the two climb together. Here they part.

0:10  boiler-temp rises 0.8 K/min
      vapour-temp falls 1.2 K/min
      expect heat off within 5 min
      expect trip boiler-rises-vapour-falls
