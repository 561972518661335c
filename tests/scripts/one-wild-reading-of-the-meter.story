# Held, the heat off; the meter of the power says 3,000 W once. Nobody is woken by one reading, but by two.

0:05  order hold
      expect heat off within 5 s
0:40  heat-power 3000
      wait 1 s
      heat-power follows
      expect no alarm heat-not-stopping for 20 s
1:20  heat-power 3000
      expect alarm heat-not-stopping within 15 s
