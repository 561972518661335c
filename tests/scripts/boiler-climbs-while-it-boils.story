# What boils does not warm by 3.4 K a minute.

0:10  boiler-temp rises 3.4 K/min until 91.2
      expect heat off within 3 min
      expect trip boiler-rising-fast
