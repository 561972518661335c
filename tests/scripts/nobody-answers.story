# The operator has gone for bread. At seventeen minutes a reminder, at twenty the heat goes off.
alone: link, power

0:05  nobody answers
      expect alarm attendance-due within 18 min
      expect heat on
      expect heat off within 4 min
      expect trip nobody-there
      button pressed
      expect heat off for 1 min
      order acknowledge
      order resume
      expect heat on within 10 s
