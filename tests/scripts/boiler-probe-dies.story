# What watches the boiler is gone. The still is not distilled blind.

0:05  boiler-temp silent
      expect heat off within 90 s
      expect trip protection-lost
      order acknowledge
      order resume -> refused trip-active
      boiler-temp follows
      wait 20 s
      order resume
      expect heat on within 10 s
