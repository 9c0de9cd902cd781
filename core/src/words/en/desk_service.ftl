### What the desk says by itself, in English.

## Why it was not done

desk-not-here = There is nothing here for you. A link may be over: ask for a new one.
desk-job-damaged = What the desk keeps of this job is damaged and was left as it is. Trust no state of it: go by what the crew has on its phones.
desk-jobs-damaged = What the desk keeps of these jobs is damaged. They stand nowhere else on this page.
desk-sign-in-first = Sign in first.
desk-form-not-ours = This form is out of date. Load the page again and fill it in anew.
desk-unreadable = What was sent cannot be read. Load the page again.
desk-too-slow = It took too long to arrive. Try again.
desk-password-length = A password has at least 15 characters: several words do well.
desk-name-not-usable = A name has letters, digits, dots and dashes, at most 40.
desk-start-refused = This code makes no dispatcher of this name. Ask for a new one.
desk-sign-in-refused = Name and password do not belong together.
desk-crew-twice = This person is at the desk or on the crew already: one person, one part.
desk-job-name-not-free = Another job has this name, or it holds more than letters, digits and dashes.
desk-no-rule-sheet = This rule sheet is not here, or does not hold.
desk-no-file = Choose the file of a map sheet.
desk-sheet-refused = The sheet was not taken. Mend what is listed and bring it again.
desk-sheet-too-large = Too much hangs together with this service for a phone. Bring a map sheet that ends at the feeder's switches.
desk-choose-sheet = Choose a map sheet.
desk-choose-service = Choose the service that is to be made dead.
desk-choose-scope = Choose what is to be dead.
desk-choose-crew = Choose at least one enrolled device for the crew.
desk-work-too-long = Say in fewer words what the work is.
desk-enrol-by-phone = Read this code with Coldlug on the phone that is to be enrolled.

## What stands on pages

desk-default-rules = Cautious default
desk-scope-base-both-sides = Meter base, both sides
desk-scope-base-line-side = Meter base, line side
desk-scope-pad-secondary = Secondary compartment of the pad
desk-scope-pad-primary = Primary compartment of the pad
desk-photo = Picture
desk-correction = { $feature }: { $claim }
desk-role-lineworker = Lineworker
desk-role-electrician = Electrician
desk-role-dispatcher = Dispatcher
desk-role-engineer = Engineer
desk-clearance-refused = { $clearance } was not taken.
desk-clearance-released = { $clearance } was released.
desk-clearance-abandoned = { $clearance } was ended without its holder.
desk-clearance-link-ended = { $clearance }: the desk ended the offer by link.

## What the terminal prints

desk-runs-at = The desk is at { $url }
desk-keeps-in = It keeps everything in { $folder }
desk-first-code = One-time code of the first dispatcher: { $code }
desk-first-code-where = Type it in at { $url }/start within 20 minutes. A new start prints a new one.
desk-ends-by = Ctrl-C ends it.
desk-start-what = The desk
desk-start-todo = check the folder and whether another program listens there; see coldlug desk --help
