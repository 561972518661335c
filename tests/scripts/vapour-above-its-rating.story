# 103 °C at the head: pressure, or a lying probe. One spike alone does nothing.

0:10  vapour-temp 103
      wait 1 s
      vapour-temp follows
      expect heat on for 20 s
0:40  vapour-temp 103
      expect heat off within 8 s
      expect alarm vapour-over-temperature
