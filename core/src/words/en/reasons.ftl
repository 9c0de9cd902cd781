### Why a set or a stay is out or in: one sentence for each rule of evidence, and what alone could make
### it false, in English.

## What was seen: of premises

meter-number = The number on the meter is { $service }'s.
meter-number-differs = The number on the meter is nobody's on the map: not { $service }.
address-plate = The address plate says { $service }.
address-plate-not = The address plate says another place than { $service }.
meter-photo = The number read on the picture of the meter is { $service }'s.
meter-photo-differs = The number read on the picture is nobody's on the map: not { $service }.
customer-word = The customer says that this is { $service }.
customer-word-not = The customer says that this is not { $service }.
electrician-word = The electrician says that this is { $service }.
electrician-word-not = The electrician says that this is not { $service }.
sticker = The job's sticker was read on a picture from there: { $service }.
billing-record = The billing record has the number on the picture for { $service }.
billing-record-not = The billing record has the number on the picture for another than { $service }.

## What was seen: of cable sets

load-step-seen = { $set } followed the coded load from the premises.
load-step-flat = { $set } stayed flat on both legs while the load was switched by a code.
loaded-meter-out = { $set } still carried load with the target's meter out.
conductor-differs = { $set } is of another metal or size than what comes out at the base.
tone-heard = The tone from the premises stood out on { $set } alone.
marker-at-both-ends = { $set } bears the same marker as the base, and no other set does.
reason-for-another = What speaks for { $set } speaks against it.
reason-none = Nothing seen speaks for or against it.

## By whom, and what alone could make it false

reason-seen-by = { $who } at { $at }
reason-line = { $said } ({ $seen })
    .spoken = { $said } By { $seen }.
reason-wrong-if = Wrong only if { $causes }.
reason-waits = Counts for nothing until { $stays } is settled to be at { $service }.
reason-or = { $one }, or if { $other }
reason-or-name = { $one } or { $other }
reason-and = { $one } and { $other }
cause-none = nothing
cause-report = { $person } was not where they say in { $stay }
cause-pad-report = { $person } misheard or misread at the pads
cause-meter-records = the map's meter numbers are mixed up
cause-plates = the address plates are mixed up
cause-electrician = the electrician is at another house
cause-billing-records = the billing records are mixed up
cause-tone = the tone bleeds from set to set in { $pad }
cause-marker-scheme = the cable markers are mixed up
cause-placement = the clamp was elsewhere at { $placement }
cause-marks = the marks { $marks } are on the wrong sets
cause-lug-positions = the lug positions of { $pad } are counted wrong
cause-run = the load was not switched as told at { $run }
cause-instrument = { $instrument } reads wrong
cause-deed = what was told by { $deed } was not done
cause-shared-set = { $set } feeds somebody else too
cause-unmapped-splice = { $set } has a splice that nobody mapped
cause-look = what was seen by { $sighting } was misread

## What could still name another

doubt-set = { $set } is not sure yet. It may be another set if { $causes }.
doubt-set-torn = For { $set } and against it: no single mistake explains what was seen.
doubt-stay = { $stay } is not settled. It may be elsewhere if { $causes }.
doubt-stay-torn = { $stay } is not settled: no single mistake explains what was said of it.
doubt-stay-unnamed = { $stay } is not settled: nothing seen there names a place on the map.

## The page

page-reasons = Why each set is out or in
reasons-title-why = What is still in doubt
reasons-title-set = { $set }: { $stands }
reasons-title-stay = { $stay }: { $stands }
reasons-title-idle = What was seen and decides nothing
reasons-idle = { $seen }: { $why }
reasons-the-one = this is the one
reasons-stay-at = at { $service }
reasons-stay-open = not settled
known-placement = { $at } on { $leg }
known-marks = { $letters } of { $pad }
