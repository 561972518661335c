# Hearts reach the brim; the feints can has room. Hearts are spoilt, nothing is spilt, and the heat stays on.
alone: link, power

0:05  hearts-volume 23
      expect alarm receiver-nearly-full within 30 s
      hearts-volume 24.6
      expect receiver feints open within 20 s
      expect receiver hearts closed within 20 s
      expect heat on for 1 min
      hearts-volume 1
      expect receiver hearts open within 20 s
