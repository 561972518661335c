# The heat is on, the tap is still closed. Time for a word, not for a trip.
begin: heat-up
alone: link, power

0:05  coolant-flow 0
      expect alarm coolant-missing within 40 s
      expect heat on for 5 min
      coolant-flow 300
      expect no alarm coolant-missing within 20 s
