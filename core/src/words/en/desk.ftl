### What stands on the desk's pages and on the electrician's page, in English.

## Around every page

page-language = en
page-name = Coldlug
page-skip = To the content
page-ways = Pages
page-physical = What is open now
page-problem = That did not work
page-not-done = Not done
page-back = Back
page-next = Next:
page-made-at = As of { $at } UTC.
page-again = Load again
page-news = Something has changed.
page-may-stay-empty = (may stay empty)
page-choose = Choose
page-legs = Legs
page-prove-dead = Prove dead, every pair:
page-prove-live = Prove live, every pair:
page-fits = as asked
page-does-not-fit = NOT as asked
page-not-read = not read
page-read-now = read this now
page-keys = Write a key at each of { $slots } slots, and the amps at slot { $slot }.
page-outlet = Load at { $outlet }
page-slot = Slot { $slot } of { $slots }
page-slots-unseen = Switching in { $slots } slots. Only who switches sees the code.
page-say = Say:
page-next-slot = Next slot
page-after-slots = All slots done
page-stopped-by = Stopped by { $event }.
page-corrections-left = Corrections of the map left to take over: { $count }
page-not-this-role = (not in this role)
yes = Yes
no = No

## Ways in

desk-start = Begin with a one-time code
desk-start-why = The desk prints one for the first dispatcher; dispatchers make one for the next.
desk-code = One-time code
desk-name = Name
desk-password = Password
desk-new-password = New password
desk-begin = Begin
desk-sign-in = Sign in
desk-sign-out = Sign out { $person }
desk-have-code = I have a one-time code

## The board

desk-board = Jobs
desk-no-jobs = No jobs yet.
desk-service-of = Service { $service }
desk-conflicts-count = Conflicts to settle: { $count }
desk-all-corrections = All map corrections (GeoJSON)

## A new job

desk-new-job = New job
desk-map-sheet = Map sheet
desk-search = Service, premises or meter
desk-find = Find
desk-nothing-found = Nothing found. Search for less, or on another map sheet.
desk-more-found = { $count } more. Search for more of the name to see them.
desk-service = Which service is to be made dead
desk-meters = Meter { $numbers }
desk-record-pad = By the record fed from { $pad }
desk-scope = What is to be dead
desk-crew = Crew
desk-electricians = Electricians
desk-electrician-number = Electrician { $number }
desk-work = What the work is
desk-rule-sheet = Rule sheet
desk-job-name = Name of the job
desk-prepare = Prepare the job

## A job

desk-conflicts = Conflicts
desk-clearances = Clearances
desk-clearance = Clearance
desk-make-link = Make a link for { $person }
desk-end-link = End the link of { $clearance }
desk-link-until = Its link is good until { $until }.
desk-next-link-until = A link of { $person } for the next clearance offered is good until { $until }.
desk-end-next-link = End the links for the next clearance offered
desk-crew-sees = What the crew sees
desk-by-link = by link
desk-ledger = Ledger
desk-settling = What would settle it
desk-minutes = { $minutes } min
desk-claims = Map against field
desk-explanations = What may be behind it
desk-claim = The map says
desk-standing = Standing
desk-seen-in = Seen in
desk-candidates = Cable sets
desk-set = Set
desk-excluded-by = Excluded by
desk-idle = Seen, and decides nothing
desk-ways = Ways to do it, the best first
desk-way = Open
desk-out = Others out
desk-exposure = Exposure
desk-operations = Operations
desk-not-first = Why not first
desk-corrections = Map corrections
desk-corrections-file = As GeoJSON
desk-photos = Pictures
desk-photo-not-here = Not here yet: its phone will send it.
desk-timeline = Timeline
desk-older = { $count } older
desk-record-file = The record, as signed
desk-late = written late
desk-corrected = corrected
desk-deviation = deviation
desk-counts-for-nothing = Counts for nothing:

## Map sheets

desk-map-sheets = Map sheets
desk-no-sheets = No map sheet yet.
desk-sheet-name = Name
desk-sheet-file = Map sheet (GeoJSON)
desk-bring-sheet = Take it in
desk-sheet-holds = { $services } services, { $pads } pads

## Devices

desk-devices = Devices
desk-no-devices = No device is enrolled yet.
desk-device = Device
desk-device-name = Name of the device
desk-device-person = Who carries it
desk-make-code = Make a code
desk-code-for = Code for { $device }, carried by { $person }
desk-code-picture = The code as a picture, to be read by the phone
desk-code-once = Shown once. Read it with the phone, or type it in there.
desk-key-digits = Key begins
desk-good-until = Good until
desk-address = Address
desk-enrolled = Enrolled devices
desk-person = Person
desk-since = Since
desk-heard = Last heard
desk-not-heard = not yet
desk-revoke = Revoke
desk-revoke-sure = Revoke { $device } for good
desk-revoked = revoked

## Dispatchers

desk-dispatchers = Dispatchers
desk-code-for-dispatcher = Code for { $person }
desk-code-at-start = Shown once. They type it in at { $address }.

## A link

desk-link = Link
desk-link-for = Link for { $person } on { $job }
desk-link-picture = The link as a picture, to be read by the electrician's phone
desk-clearance-next = the next one offered
desk-sticker = Sticker for the meter base
desk-sticker-of = Sticker of { $job } for { $service }
desk-sticker-picture = The sticker's code as a picture
desk-sticker-how = Print it and give it to the electrician alone, to put on the meter base they work in. The crew reads it there; no phone shows it before.
desk-link-once = Shown once. Whoever has it acts as this person: show it to nobody else.
desk-back-to-job = Back to { $job }

## The electrician's page

at-title = { $person }: may hands go in?
at-beside = With { $person }.
at-beside-nobody = No lineworker is with you on record: ask them to begin their stay.
at-open = What is open
at-proven = How it was proven
at-own-test = Your own test
at-good-until = This link is good until { $until } UTC, for you alone.
