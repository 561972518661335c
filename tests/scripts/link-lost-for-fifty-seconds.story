# Broker or network away: nothing is heard, nothing arrives. The device has switched off by itself; when the link comes
# back the heat does not.
alone: link, power

0:05  link lost
      expect power off within 35 s
      expect alarm blind within 5 s
      expect heat off
1:00  link back
      expect power off for 5 min
      expect heat off
      order resume -> refused trip-unacknowledged
      order acknowledge
      order resume
      expect heat on within 10 s
