### Claims, sightings, verdicts: what the ledger says, in English.

## Tests that would settle a doubt: what to do next

test-begin-stay = Go to the premises and begin a stay.
test-read-meter-number = Read the number on the meter.
test-read-plate = Read the address plate.
test-picture-of-meter = Take a picture of the meter; the other worker reads it.
test-ask-customer = Ask the customer where this is.
test-ask-electrician = Ask the electrician, by the link shown at the base.
test-photograph-sticker = Take a picture of the job's sticker on the base; the other worker reads its code.
test-compare-with-billing = Take a picture of the meter; the desk holds its number against the billing record.
test-begin-stay-anew = The meter numbers of this stay differ: you may be at another house. End the stay, go to the target, begin a stay anew.
test-call-desk = Nothing that can be had here settles it. Stop, and call the desk: another method is needed.
test-change-places = Change places: the other worker goes to the premises and begins a stay.
test-search-pad = Open { $pad }, count its sets and mark them. Then switch the known load once for each leg of each set, all its parallel runs in the jaws.
test-bare-steps = From another outlet, switch the known load once for each leg of each set in { $pad }, all its parallel runs in the jaws.
test-tone = Put a tone on at the premises. Compare every set in { $pad }, by counting lug positions, on and off.
test-read-markers = Read the cable marker at the base and on every set in { $pad }, by its mark.
expect-change = Expect a change of { $least } to { $most } A where the load is.
outcome-look-names-it = It names the target: it counts for where you are.
outcome-look-differs = It names another place: leave, or see which record is wrong.
outcome-look-lacks = It is not to be had: say so, and another way is offered.
outcome-bare-answers = One set answers: read that one by a code.
outcome-bare-silent = No set answers: another outlet or another pad comes next.
outcome-step-seen = It follows the code: it speaks for this set.
outcome-step-flat = Flat: read the other leg from the same outlet. Flat on both, it is not this set.
outcome-step-unclear = Neither: let the loads there settle, and do it again.
outcome-tone-heard = It stands out on one set: it speaks for that set.
outcome-tone-unclear = It stands out on none, or on several: it says nothing here.
outcome-markers-pair = The same marker at both ends: it speaks for that set.
outcome-markers-differ = No marker pairs: it says nothing here.
outlet-any = any outlet
outlet-again = the outlet { $outlet }
test-load-step = Switch the known load by a fresh code, { $outlet }. Clamp { $leg } of { $set }, found { $by }, with every parallel run of it in the jaws.
by-mark = by its mark
by-position = by counting lug positions

## Claims of the map, and how they stand

claim-feeds = { $set } feeds { $service }
claim-meter-number = { $service } has meter { $numbers }
claim-conductor = { $set } is { $metal } { $size }
claim-set-count = { $pad } holds { $count } sets
claim-tag = { $pad } carries tag { $tag }
claim-place = { $pad } stands where the map has it
agrees = agrees
unsettled = unsettled
contradicts = contradicts
candidate-elsewhere = somewhere else
candidate-open = still possible
candidate-excluded = excluded
tag-matches = The tag is { $tag }.
tag-could-be = The tag could be { $tag }, and others near: it decides nothing.
tag-differs = The tag is not { $tag }.
tag-another-of-the-pad = The tag is another one of the same pad, and says nothing about { $tag }.

metal-al = aluminium
metal-cu = copper

## Why a sighting excludes nothing

idle-orders-the-search = It orders the search and excludes nothing.
idle-not-in-a-stay = It belongs to no open stay.
idle-not-their-stay = It is another person's stay.
idle-read-by-its-taker = Who took the picture also read it.
idle-not-on-the-sheet = The map sheet has no such thing, or more than one.
idle-not-from-the-link = The word did not come from the link at that base.
idle-run-not-whole = The run is not whole, or left its stay.
idle-code-not-sealed = The code was not sealed before the first slot.
idle-code-too-weak = The code is too short, or has too few changes or holds.
idle-load-too-uncertain = The known load is not known well enough.
idle-slots-incomplete = Not every slot was read, or no amps at the drawn one.
idle-clamp-not-proven = The clamp was not shown to work before.
idle-placement-unusable = Not one leg in the jaws, or the placement is not on record.
idle-step-unclear = Neither followed the code nor flat: do it again.
idle-flat-on-one-leg = Flat on one leg; read the other.
idle-set-not-quiet = Flat, but too much load on the set to tell.
idle-not-the-targets-meter = The target's number was not read on the meter in the hand.
idle-not-clearly-loaded = Not clearly loaded.
idle-stale = Too old to count: see it again.
idle-not-the-jobs-sticker = It is not this job's sticker.
idle-tone-unclear = Compare every set of the pad, tone on and off; it stood out on none or on several.
idle-markers-do-not-pair = No marker at the other end says the same, or two sets have it.
idle-ends-do-not-differ = Both ends look alike, or one was not looked at.

