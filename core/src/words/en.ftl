### What a crew reads, in English. Verdict first, reason second, action third. Short.

## Verdicts

verdict-identified = Identified: set { $set } feeds { $service }.
    .spoken = Identified. Set { $set }.
verdict-contradicted = Contradicted: the map and the field do not agree. Open nothing.
verdict-no-set-seen = Unsettled: no cable set is marked yet. Open nothing yet.
verdict-unsettled = Unsettled: { $count } still possible. Open nothing yet.
verdict-premises-identified = { $stay } was at { $service }.
verdict-premises-unsettled = Not settled where { $stay } was: it counts for nothing yet.

## Rules: one sentence each, by the rule's id

briefed-before-cabinet = Hold the tailboard briefing before the cabinet is opened.
job-known-scope = A job names what is to be dead; an unknown scope is a stop.
system-listed = The voltage system must be one that has rules here.
identified-before-opening = Nothing is opened before the cable set is identified without the map.
meter-number-read-before-pull = Read the number on the meter before it is pulled.
own-sources-off-before-pull = Switch the customer's own sources off before the meter is pulled.
main-open-before-pull = Open the main before the meter is pulled.
no-damage-before-pull = A damaged or hot meter base is not pulled on; another method is needed.
self-contained-below-300-volts-before-pull = Only a self-contained meter below 300 volts is pulled.
questions-before-lift = Answer the questions on bolt, runs, meters, front and enclosure before lifting.
dead-front-only = Live-front gear has its own method; lifting legs here is for dead-front.
enclosure-sound-before-lift = A live, wet, damaged or occupied cabinet is a stop.
meter-out-before-lift = The meter is out, with its number read in the hand, before a leg is lifted.
all-runs-in-jaws = Read the amps again with every parallel run of the leg in the jaws, and say how many: one run shows a part.
amps-fresh-before-lift = Read the amps on each leg again: a leg is lifted only on a fresh no-load reading.
no-load-before-lift = A leg that may carry load is not lifted.
no-load-with-meter-out = A leg carried load with the meter out: somebody else is on this set. Find out who. Take a reading back only if it was wrong.
clamp-proven-after-amps = Show the clamp a load again after the amps, then put it back on the leg: a clamp that fails reads zero.
no-load-while-loosened = The leg carried load while its lug was loosened: tighten it, write the amps down, find out who draws.
one-leg-at-a-time = Lift one leg at a time.
leg-check-before-second-leg = Check at the base that exactly the lifted leg died before the second is lifted.
cap-and-restrain-before-next = Cap and restrain a lifted leg before the next step.
neutral-stays-landed = The neutral stays landed. It is never treated as dead.
all-runs-lifted = Every parallel run of the leg is lifted and its free end tested.
wait-after-sources-off = Wait after the customer's sources went off, then test.
tester-proven-around-proof = Show the tester on a known source before and after the proof.
dead-proven-before-handover = Prove the meter base dead before it is handed over.
proof-fresh-before-handover = The proof of dead is too old: prove it again before handing over.
proof-by-opening-before-handover = Prove by opening: live before, only our opening between, dead after, bus still live.
lifted-tested-before-short = Test the lifted ends before they are shorted to neutral.
holder-tests-before-accept = Whoever takes the clearance tests first.
holder-releases = Only its holder releases a clearance.
no-clearance-held-before-closing = Somebody holds a clearance: nothing is closed until it is released.
no-link-offer-before-closing = A clearance was offered by link: nothing is closed until the desk ends it.
inspected-before-restore = The work is inspected before supply is restored.
short-removed-before-landing = Take the short off before a leg is landed.
insulation-compared-before-landing = Compare the insulation of the legs before they are landed.
neutral-before-hot = Neutral first, hot legs after.
meter-out-before-landing = The meter stays out while legs are landed.
live-proven-before-close = Prove the supply live and healthy before the job is closed.
nothing-left-open-before-close = Something is still open, capped, shorted, grounded, tagged or locked.
stopped-until-led-back = The job is stopped: go through what leads back first.
unknown-kind-read-only = This job holds something newer than this program: read it, do not write it.
rules-pinned = The map sheet or rule sheet is not the one this job was opened with.
no-proof-by-deviation = A deviation never stands in for a proof.
late-is-never-fresh = What was written down late never counts as fresh.
known-instrument = Enter the instrument before a reading with it.
stay-open-for-sightings = A sighting at the premises needs a stay that is open.
run-inside-stay = A switching run is done inside a stay of its doer.
code-opened-matches-seal = The opened code is not the one that was sealed.
keys-before-code-opens = What the pad reads of a run is written down before its code is opened, by somebody who does not know it.
lug-pair-is-lifted = These are lugs and no switch: lift or land their legs, one at a time.
switch-order = Switches go in the planned order.
load-break-covers-amps = It stays closed until its amps are surely no more than it may break: none at all, where it is not made to break load.
loop-point-measured = It stays open until what stands on its two sides is measured and may be joined.
bypass-open-before-pull = Open the lever bypass first: closed, pulling the meter interrupts nothing.
named-things-there = It names something that is not on record.
newest-marks-alone = These sets were marked anew since. Find the set by the mark that is on it now, or count lug positions.
closed-stays-closed = This job is closed. New work is a new job.
conflict-settled-first = Two acts on record cannot both stand: settle that first.
ct-meter-stays = A meter on current transformers stays in: it has another path.
main-open-before-set = The main is open while the meter is set.
grounded-before-handover = More than a lifted set is isolated: put a ground on the work zone before handing over.
lifted-first = Only what was lifted is capped, restrained, tagged, shorted or landed.
tags-off-before-closing = Take tag and lock off before what they hold is closed.
live-proven-before-load = Prove the supply live and healthy before anything loads it.
stay-withdrawn-whole = A stay is withdrawn whole, never one sighting of it.
one-event-one-id = Each thing written down has a name of its own.
crew-only = Only people of this job's crew write on it, each in their own role.
pressure-relieved-before-fuse = Relieve the tank's pressure just before: twice before the fuse is drawn, once before it goes in.
tested-before-ground = A ground or a short goes only on what was tested dead at that place, just now.
proof-holds = The proof does not hold: its readings do not say what it claims.
lifted-safe-before-handover = Test the lifted ends and short them to neutral before handing over.
clearance-as-offered = A clearance is taken as it was offered, by whom it was offered to, once.
abandonment-complete = An absent holder: two people, reasons, attempts to reach them, base seen clear and closed.
deviation-by-second-person = A deviation needs a reason and a second person of the crew.
correction-names-event = A correction names what it corrects, and its author may correct it.

## Tailboard briefing

brief-hazards = What can hurt here.
brief-procedures = How the work is done, step by step.
brief-precautions = Special precautions.
brief-energy-control = What is opened, tested and grounded, and what stays hot.
brief-protection = Gloves, clothing, approach distance.
brief-premises = Which premises, and how they are known without the map.
brief-neighbours = Who stays supplied from the same pad, and who goes out.
brief-holder = Who takes the clearance, and how they are reached.
brief-emergency = Where we are in words, who calls, who makes safe.
brief-backfeed = The customer's own sources: known, or not ruled out.
brief-open-pad = The cabinet is attended while open; elbows and bushings stay hot.
brief-rotation = Phase rotation is found before anything is opened.
brief-pen = Opening the PEN makes metalwork live.

## Proof of dead: what it lacks

dead-tester-before = Show the tester live on a known source before the first point.
dead-tester-after = Show the tester live on a known source again after the last point.
dead-too-long = The proof took too long: begin again with the tester.
dead-point-not-read = A point was not read: read every one.
dead-point-other-tester = A point was read with another tester: one tester reads them all.
dead-point-undecided = Neither dead nor live: treat it as live, and read again at low impedance.
dead-point-not-counted = It reads dead, but the reading does not count: put right what is held against it, and read again.
dead-point-outside-checks = Read outside the two tester checks: read again between them.
dead-circuit-law = These readings do not go together: a lead was open or misplaced. Read them again.

## Something is live that should be dead: stop, and what is most likely

live-wrong-set = Stop: live. Most likely another set feeds this base.
live-fed-through-load = Stop: live. Most likely one leg is open and fed through a load from the other.
live-leg-not-open = Stop: live. Most likely a leg or a parallel run is not lifted.
live-customer-source = Stop: live. Most likely a source of the customer's feeds back.
live-open-neutral = Stop: live. Most likely the neutral is open or bad somewhere.
live-lifted-fed = Stop: live. The lifted conductors are fed from the other end, or are another set's.
live-other-source = Stop: live. Something else feeds this: find it first.

## One leg at a time

leg-confirmed = Exactly the lifted leg died, and the bus lives.
leg-other-died = Another leg died than was lifted: the set is right, its marks are crossed. Mark the legs anew.
leg-nothing-died = The lifted leg still lives at the base: this is the wrong set. Put it back.
leg-more-died = More died than was lifted. Stop and find out why.
leg-fed-through = The lifted leg lives through a load. Open the main and read again.
leg-bus-dead = The bus of the pad is dead: the feeder may have gone. Nothing was shown.
leg-base-dead-before = The base was dead before anything was lifted. Nothing was shown.
leg-other-operation = Something else was operated in between. Nothing was shown.
leg-check-missing = The check of this leg is not complete.

## Proof by opening

opening-base-dead-before = The base was dead before the opening: it proves nothing.
opening-other-operation = Something else was operated in between: the opening proves nothing.
opening-bus-dead = The bus of the pad is dead: the feeder may have gone. The opening proves nothing.
opening-base-live-after = The base is live after the opening: another set feeds it.
opening-other-zone = This proof of dead is of another place.
opening-nothing-opened = Nothing was opened yet.
opening-base-live-before = Read every leg of the base live before opening.
opening-bus-live-after = Read every leg of the pad's bus live after the base was read dead.
opening-dead-after = Prove the base dead after the opening.

## Clearances: why an act is refused (holder-releases stands among the rules)

clearance-unknown = There is no clearance of this name.
clearance-name-taken = This name was used before: a new offer has a new name.
clearance-not-offered = It is not on offer any more.
clearance-not-held = Nobody holds it.
clearance-other-person = It was offered to somebody else.
clearance-desk-only = It was offered by link: only the desk moves it.
clearance-not-by-link = It was not offered by link: there is no link to end.
clearance-proof-stale = The proof of dead is too old to offer on: prove it again.
clearance-other-proof = This is not the proof it was offered on.
clearance-other-zone = The holder's test is of another place.
clearance-bad-hash = The record's hash is damaged: show the record again.
clearance-same-holder = It is passed to the one who holds it already.
clearance-second-person = Abandoning takes two people, neither of them its holder.
clearance-reason = Say why.
clearance-attempts = Too few attempts to reach the holder are on record: try again, and write each down.
clearance-look-for-people = Look for people at the base first.
clearance-seen-clear = See the base clear first.
clearance-base-closed = Close the base first.

## Insulation before legs are landed

insulation-sound = The insulation stands above the floor on every pair.
insulation-low = The insulation is not surely above the floor. Land nothing.
insulation-missing = The insulation readings are not complete.

## A live and healthy supply: what is wrong, what is missing, what is noted

supply-out-of-band = A pair is outside its service band. Do not close the main.
supply-neutral-to-ground = The neutral stands away from ground: open, bad, or swapped with a leg. Do not close the main.
supply-legs-apart = The legs part as with an open neutral. Do not close the main.
supply-neutral-impedance = The neutral's impedance is too high. Do not close the main.
supply-rotation-changed = The phases rotate the other way than they were found. Do not close the main.
supply-insulation-low = The insulation is not surely above the floor. Do not close in.
supply-not-read = A pair was not read on the line side: read every one.
supply-not-counted = Something is held against a reading: read again.
supply-order = Neutral to ground first, then each leg to neutral, then leg to leg: read again in this order.
supply-scattered = These readings lie too far apart: read again in one go.
supply-neutral-test = Test the neutral under a known load.
supply-neutral-load = The load was too small to test the neutral: take a bigger one.
supply-neutral-undecided = The neutral test decides nothing: more load, or a finer voltmeter.
supply-insulation = The insulation was not shown before closing in.
supply-rotation-found = The rotation was not found before opening.
supply-rotation-now = Read the rotation now.
live-note-range-b = Noted: outside Range A, inside Range B. Report it.
live-note-legs-differ = Noted: the legs differ. Look at the neutral again under load.
live-note-insulation-uneven = Noted: one leg's insulation is far below the best leg's.

# Messages between phone and desk.
message-unreadable = This is not a message of Coldlug. Nothing was taken.
message-too-large = The message is too large. Nothing was taken: send less at a time.
message-of-another-kind = A message of another kind was expected here. Nothing was taken.
message-not-signed = The signature of the message does not hold. Nothing was taken.
message-replayed = This message came before. Nothing was taken: send a new one.
device-not-enrolled = This device is not enrolled at the desk. Ask the dispatcher for a code.
code-not-valid = This code does not enrol a device. Ask the dispatcher for a new one.
device-name-not-free = This device cannot have that name. Choose another.
job-not-for-this-device = There is no such job for this device.
not-on-this-job = This is not on the job.
bytes-not-as-named = The bytes are not the ones that were named. Nothing was kept: send them again.
answer-to-another-message = The answer belongs to another message. Nothing was taken: try again.
link-not-possible = A link is made for somebody of the crew who carries no device, and for one clearance of this job.
too-many-tries = Too many tries. Wait a few minutes.
desk-in-trouble = The desk is in trouble. Nothing was taken: try again, and call the dispatcher.
