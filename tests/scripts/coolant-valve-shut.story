# The coolant valve says it is shut although it was told to open.

0:05  drive coolant reports 0
      expect heat off within 20 s
      expect trip coolant-not-on
