# The probe's cable breaks. No cut is made by it, and after a minute the run is held.

0:05  vapour-temp silent
      expect cuts suspended within 20 s
      expect alarm probe-lost within 45 s
      expect heat on
      expect state held within 60 s
      expect heat off
3:00  vapour-temp follows
      expect heat off for 2 min
      order resume
      expect heat on within 10 s
      expect phase hearts
