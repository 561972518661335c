# A cut-out opens. Heat that came back by itself would be heat nobody ordered.

0:05  heat-power 0
      expect heat off within 30 s
      expect trip heat-not-coming
      heat-power follows
      expect heat off for 2 min
