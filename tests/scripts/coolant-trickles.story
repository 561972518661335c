# Half closed by hand: 40 L/h where 60 are needed.

0:05  coolant-flow 40
      expect heat off within 40 s
      expect trip coolant-flow-lost
