# The boiler foams over: the vapour leaps by 6 K. Feints take it, the heat is halved, and somebody is asked.
alone: link, power

0:05  vapour-temp 88.5
      expect alarm puking within 15 s
      expect heat at most 40 %
      expect receiver feints open within 15 s
      expect receiver hearts closed within 15 s
      vapour-temp follows
      expect receiver feints open for 2 min
      order decline-cut
      expect receiver hearts open within 5 min
      expect heat about 80 % within 3 min
