"""What happens to a fill after it is prepared: how long it runs, what comes out, what is breathed in, what settles, what stays.

| module | cards |
|---|---|
| `humidity`, `vapour` | water in gas, and how much of what leaves the cup is only water |
| `cup` | the balance of mass in the cup: time, concentration, share that leaves |
| `breathing` | which share of a running aerosol is breathed in |
| `droplets` | sizes of droplets, log-normal by mass |
| `simple_fits`, `task_group` | where droplets settle, in healthy adults |
| `continuous`, `pump_fed` | nebulizing for hours |
| `gas` | cylinders, heliox, air and oxygen |

Over the cards: `setup` says what is set up, `outcome` tries it many times over all ranges, `sensitivity` tells which input
matters most, `settle` where droplets settle, `measured` works a department's own weighings, `planned` answers for a plan, `pictures` draws.

A card takes a number or an array of them and answers in kind, so that a trial uses the very function that the tests hold
against print. Every answer is an estimate with a range. Nothing here is about one patient, and nothing changes a dose.
"""
