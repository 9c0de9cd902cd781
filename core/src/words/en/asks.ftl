### What acts ask, and what is said of an answer that does not fit, in English.

## More buttons

act-enter-instrument = Enter an instrument
act-prove-instrument = Show an instrument right
act-begin-stay = I am at the premises
act-end-stay = I leave the premises
act-withdraw-stay = Take a stay back
act-read-meter-number = Read the meter number
act-read-plate = Read the address plate
act-take-picture = Take a picture of the meter
act-read-picture = Read a picture
act-customers-word = Ask the customer
act-say-where = Say where you are
act-look-at-base = Look at the cable in the base
act-read-tag = Read the pad's tag
act-take-fix = Take a position fix
act-mark-sets = Count and mark the sets
act-look-at-set = Look at a set's cable
act-clamp = Clamp a leg
act-begin-run = Begin the switching
act-write-keys = Write the slots down
act-end-run = Last slot is over
act-take-verdict = Take it: identified
act-read-rotation = Read the rotation
act-open-main = Open the main
act-sources-off = Switch own sources off
act-read-base = Read the meter base
act-read-bus = Read the pad's bus
act-read-point = Read the next point
act-read-lifted = Read the lifted ends
act-open-switch = Open a switch
act-lock-and-tag = Lock and tag
act-relieve-pressure = Relieve the tank
act-put-ground = Put a ground on
act-accept-witnessed = Accept, having stood by
act-work-done = The work is done
act-abandon = End without the holder
act-end-link = End the link
act-take-ground = Take a ground off
act-take-lock = Take lock and tag off
act-measure-loop = Measure the loop point
act-close-switch = Close a switch
act-read-supply = Read the supply
act-test-neutral = Test the neutral
act-close-main = Close the main
act-sources-on = Own sources may run
act-take-back = Take back my last entry
act-interrupt = Break, change, doubt
act-wrong-drop = Somebody else lost supply
act-settle-conflict = Settle a refused act

## What does not fit

unfit-not-on-crew = You are not on this job's crew.
unfit-not-your-act = Your role does not do this.
unfit-not-now = This has no place now: look at the screen again.
unfit-not-asked = This was not asked. The job has moved on: look at the screen again.
unfit-too-many = Too many answers: send what was asked, once.
unfit-far-too-long = This is far too long: say it in a few words.
unfit-too-long = { $what }: at most { $most } characters.
unfit-missing = { $what }: this is missing.
unfit-twice = { $what }: this was answered twice.
unfit-character = { $what }: type plain letters, digits and signs.
unfit-number = { $what }: type digits with at most one point, like 12.5.
unfit-whole-number = { $what }: type a whole number, like 3.
unfit-not-a-choice = { $what }: choose one of those offered.
unfit-not-affirmed = { $what }: this has to be so first.
unfit-photo = { $what }: take the picture in the app.
unfit-device-name = The name of this device is too long: enrol it under a shorter one.
