# The relay welds. It shows when the heat should go off: the second contactor opens, the coolant stays.
alone: link

0:05  drive heat welds
      order hold
      expect alarm heat-not-stopping within 7 s
      expect contactor open
      expect power off within 5 s
      expect coolant on for 10 min
      expect alarm heat-not-stopping returned-unacknowledged
      order resume -> refused trip-unacknowledged
