# The same for the gas detector.

0:05  vapour-gas not-a-number
      expect heat off within 90 s
      expect trip protection-lost
