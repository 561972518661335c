# The coolant alarm was shelved because it rattled. The interlock is not on the shelf.
alone: link, power

0:05  order shelve coolant-flow-lost:coolant-flow for 30 min
      coolant-flow 0
      expect heat off within 40 s
      expect trip coolant-flow-lost
