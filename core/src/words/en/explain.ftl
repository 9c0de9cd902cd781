### Why field and map do not agree: findings, the false claims that may be behind them, and what to
### look at next, in English.

## What the field says against the map

against-tag = The tag of { $pad } is not the map's.
against-place = { $pad } does not stand where the map has it.
against-set-count = { $pad } does not hold as many sets as the map has.
against-conductor = Metal or size of set { $set } is not the map's.
against-meter-number = The meter of { $service } bears another number than the map's.
against-fed-by-another = { $at } was seen to feed { $service }; the map has another set.
against-not-fed = { $at } does not feed { $service }, as the map has it.
against-loaded-meter-out = { $at } stays loaded with the meter of { $service } out.

## What may be false

false-tags-swapped = { $one } and { $other } may have each other's tags.
false-tag-replaced = { $pad } may bear another tag than the map has.
false-pad-mistaken = What is taken for { $taken } may be { $is }.
false-pad-moved = { $pad } may stand elsewhere than the map has it.
false-sets-swapped = { $one } and { $other } may hang on each other's sets.
false-lugs-swapped = The sets of { $pad } positions { $one } and { $other } may stand in each other's place.
false-wrong-position = { $service } may hang on { $at }, where the map has no set.
false-wrong-pad = { $service } may hang on { $pad }.
false-fed-elsewhere = { $service } may hang on a pad not looked into yet.
false-meters-swapped = The map may have exchanged the meters of { $one } and { $other }.
false-wrong-meter-number = The map may have a wrong meter number for { $service }.
false-set-missing = The map may lack { $sets } of the sets of { $pad }.
false-set-extra = The map may have { $sets } too many of the sets of { $pad }.
false-wrong-conductor = The map may have the wrong metal or size for set { $set }.
false-splice = A splice nobody mapped may join another metal or size into set { $set }.
false-shared-set = { $service } may hang on { $at } with those whom the map has there.
false-shared-by-somebody = Somebody else may hang on { $at } too.
false-unmetered-load = A load without a meter may hang on { $at }.

## What would confirm it

confirm-read-tag = To confirm: read the tag of { $pad }.
confirm-take-fix = To confirm: take a fix at { $pad }.
confirm-count-sets = To confirm: count the sets of { $pad }, the other worker too.
confirm-search-pad = To confirm: open { $pad } and try its sets.
confirm-look-at-lugs = To confirm: look at metal and size at the lugs of { $at }.
confirm-look-at-base = To confirm: look at metal and size at the base of { $service }.
confirm-read-number = To confirm: read the number on the meter of { $service }.
confirm-compare-with-billing = To confirm: have the desk hold the number of { $service } against the billing record.
confirm-load-step = To confirm: switch the known load at { $service } and read { $at }.
confirm-step-at-neighbours = To confirm: switch the known load at each neighbour and read { $at }.
confirm-switch-unmetered = To confirm: find the load without a meter, switch it and read { $at }.
confirm-ask-desk = To confirm: ask the desk for its drawings; what can be seen has been seen.

## Together

explanation-of-one = { $claims } Explains what was found. { $confirm }
explanation-of-all = { $claims } Explains all { $found } findings. { $confirm }
explanation-of-some = { $claims } Explains { $explained } of { $found } findings. { $confirm }
explanation-none = The map has so much wrong here that no { $claims } mistakes explain it: ask the desk.
