# Two temperatures and nothing else: only the vapour that goes on coming tells, and late.
still: bare-pot
begin: hearts
alone: link, power

0:05  drive heat welds
      order hold
      expect heat off
      expect alarm heat-not-stopping within 8 min
