# The boiler probe hangs in vapour: 104 °C, which no liquid in it can have at 962 hPa.

0:10  boiler-temp 104
      expect heat off within 15 s
      expect trip dry-boil
      expect first-out dry-boil
