# No pressure any more: cuts go on by the last good value, and somebody is told.
alone: link, power

0:05  air-pressure 300
      expect alarm air-pressure-lost within 20 s
      expect heat on for 2 min
      expect state running
