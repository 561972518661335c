# Nobody stopped the run: the meter says that 40 of 50 L have come over.

0:10  collected-volume rises 10 L/min until 40.5
      expect alarm charge-running-low within 5 min
      expect heat off within 2 min
      expect trip charge-spent
      order acknowledge
      order resume -> refused trip-active
      order stop
      expect phase cool-down within 3 min
