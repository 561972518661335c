# A valve loses its air in hearts and shuts by itself. Another path is opened at once.

0:05  drive hearts-valve reports 0
      expect heat off within 15 s
      expect trip receiver-closed
      expect receiver feints open within 5 s
