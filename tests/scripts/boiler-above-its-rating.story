# 109 °C in the boiler, above what it is rated for: no liquid of spirit and water is so hot in the open. One spike alone does nothing.

0:10  boiler-temp 109
      wait 1 s
      boiler-temp follows
      expect heat on for 20 s
0:40  boiler-temp 109
      expect heat off within 8 s
      expect trip boiler-over-temperature
      expect coolant on
