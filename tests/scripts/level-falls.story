# The drain drips. The level comes down to the 10 L that must stay over the element.

0:10  boiler-level falls 0.1 /min until 0.1
      expect heat off within 8 min
      expect trip level-low
      expect alarm level-low
      order acknowledge
      order resume -> refused trip-active
