# The process is killed and starts again from its journal within seconds.
alone: link, power

0:05  computer restarts
      expect state held
      expect heat off for 2 min
      order resume
      expect heat on within 20 s
