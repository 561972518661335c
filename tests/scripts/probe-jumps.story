# A loose plug: 12 K down and up again. Cuts wait half a minute, nothing is tripped.
alone: link, power

0:05  boiler-temp 71
      expect alarm probe-jumped within 4 s
      boiler-temp follows
      expect heat on for 1 min
      expect no trip
      expect no alarm probe-jumped within 20 s
