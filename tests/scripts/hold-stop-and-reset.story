# What an operator can order, and when.
alone: link, power, acknowledge, silenced

0:05  order start -> refused state
      order reset -> refused state
      order hold
      expect heat off within 2 s
      order hold -> refused state
      order resume
      expect heat on within 2 s
      order stop
      expect heat off within 2 s
      expect phase cool-down within 3 min
      order resume -> refused state
      order abort
      expect state aborted
      order reset -> refused still-cooling
