# A joint at the head weeps: 24 % of the lower explosive limit. Heat off; nothing in the zone moves, not even a valve
# that was just to be switched.
begin: heads

0:05  vapour-gas 0.24
      expect heat off within 25 s
      expect alarm vapour-leak unacknowledged
      expect coolant on
      expect valves stay for 5 min
      order resume -> refused trip-active
      vapour-gas 0.01
      expect heat off for 3 min
      order resume -> refused trip-unacknowledged
      order acknowledge
      order resume
      expect heat on within 10 s
