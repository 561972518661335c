# The feints valve leaks: hearts run into feints. A word, no trip.
alone: link, power

0:05  feints-volume rises 0.5 L/min until 2
      expect alarm receiver-leaking within 3 min
      expect heat on
