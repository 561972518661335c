# The mains water fails in hearts and comes back after two minutes. The heat does not.

0:05  coolant-flow 0
      expect heat off within 40 s
      expect alarm coolant-flow-lost unacknowledged
      expect first-out coolant-flow-lost
      expect coolant on
2:30  coolant-flow 300
      expect heat off for 3 min
      order resume -> refused trip-unacknowledged
      order acknowledge
      order resume
      expect heat on within 10 s
      expect phase hearts
      expect receiver feints open within 15 s
