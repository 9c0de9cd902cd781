### What is held against a reading, what readings say together, and what to do then, in English.

## Readings: what is held against one, and what to do

reading-unknown-instrument = This instrument was never entered, or its entry makes no sense. Enter it from its nameplate, then read again.
reading-wrong-instrument = This kind of instrument does not read this. Take the right one.
reading-outside-range = Beyond the top of the instrument's range. Check the unit, or take one that reads this high.
reading-negative = No AC instrument shows less than zero. Read again and type what it shows.
reading-category-too-low = The instrument's category is too low for this place. Stop using it here.
reading-whole-cable = The clamp was round the whole cable: currents cancel, and nothing is proved. Clamp one conductor.
reading-not-a-pair = Both leads were on one conductor. Read between two.
reading-calibration-overdue = The instrument's calibration has run out. Use another.
reading-instrument-not-proven = The instrument was not shown to work on a known source today. Show it, then read again.
reading-stale = Too old, or no clock can say how old. Read again.
reading-high-impedance = A high-impedance meter cannot tell this. Read again with a low-impedance tester.
reading-unit-slip = As many amps as the place has volts. Check the unit and read again.
reading-finer-than-display = This instrument's display cannot show that: another unit, range or instrument. Check it and read again.
reading-zero-unproven = A zero proves nothing yet. Read a known load with this clamp, then this conductor again.
circuit-law-broken = These voltages cannot be so together: a lead was open or misplaced. Treat all as live and read again.
circuit-fed-through = Live. One leg is open and fed through a load from the other, or both leads sat on one leg. Treat both as live and read again.
circuit-open-neutral = The neutral is open or poor: right from leg to leg, wrong to neutral. Keep loads off and look at each neutral joint.
circuit-weak-leg = One leg is open or poor: all that is read with it is low. Look at its lug, joints, jaws and fuse.
circuit-third-of-a-turn = These legs stand as two legs of a wye, not as the record says. Stop and have the voltage system put right.
circuit-opposite = These legs stand opposite, not as the wye of the record. Stop and have the voltage system put right.
circuit-high-leg = The high leg is on another terminal than the record says. Mark the legs and have the record put right.
circuit-other-return = The neutral carries more than its legs send: another's return. Treat it as live even after dead.
circuit-missing-return = The neutral carries less than its legs send. Read all again, jaws shut. Treat it as live even after dead.
amps-with-meter-out = A leg carried load with the meter out: somebody else is on this set. It is not opened before you know who.
remark-of = { $of }: { $said }

## What an undecided reading may be, and what a current says

volts-may-be-induced = It may be coupled over from conductors beside it. Read again with a low-impedance tester.
volts-may-be-backfeed = Something may feed back: a source of the customer's, or a load. Open main and own sources, then read again.
volts-may-be-open-neutral = The neutral may be open. Treat all as live and look at the neutral first.
amps-no-load = No load on this conductor. Go on while the reading is fresh.
amps-undecided = Too near the no-load limit to tell. Treat it as loaded, and read again with a finer clamp.
amps-loaded = This conductor carries load. Find and switch off what draws it, then read again.
amps-not-read = Nobody has read what flows. Read the amps.
amps-before-switching = Something was opened or closed since. Read again.
amps-not-every-phase = The fullest phase may be one that was not read. Read every phase.
amps-near-load-break = Too near what it may break to tell. Take load off, or read again with a finer clamp.
amps-over-load-break = More than it may break. Keep it closed: take load off and read again, or open another.
ground-not-proven = Nothing proves this place dead now. Read every pair here and prove it dead first.
ground-feeder-reaches = On record a feeder still reaches this place. Open the way to it, or correct the map.
loop-not-measured = Nobody has measured across it as everything stands now. Read the volts across it.
loop-without-instrument = Nobody said with what it was measured. Read it again with an instrument on record.
loop-ties-sources = On record both sides are live, and the rule sheet lets no two sources be tied. Keep it open.
loop-not-in-phase = The volts across it are not surely those of one phase on both sides. Keep it open and find out why.
loop-not-one-side = The volts across it are not surely those of one live side against a dead one. Keep it open and test both sides.
live-note-near-edge = Noted: nearer to the edge of its band than the instrument can tell. Read again with a finer voltmeter.
