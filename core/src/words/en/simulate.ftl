### What a report of simulated jobs says, in English.

## The report, and what it rests on

simulate-title = Simulated jobs
simulate-made-by = Made by
simulate-about = { $jobs } jobs from number { $first } on, played alike in every comparison. Seed { $seed }; faults: { $faults }; Coldlug { $version }, rules of edition { $edition }.
simulate-made-up = Field, faults and crew are made up. The crew does what the software advises and nothing cleverer; truth is known from the field alone.
simulate-sure-wrong = Jobs with a wrong service opened as advised: { $hits } of { $jobs }; at most { $most } in a million (95 %).
simulate-sure-dead = Jobs with dead proven falsely: { $hits } of { $jobs }; at most { $most } in a million (95 %).
simulate-against = Jobs with another set opened than advised: { $opened }; noticed with one leg up, or by the proof by opening: { $caught }.
simulate-idle-dropped = Jobs in which others lost supply with the target, on its own set by no map, and drew no load when it was read or lifted: { $dropped }.

## Columns

simulate-policy = policy
simulate-fault = fault
simulate-jobs = jobs
simulate-solvable = solvable
simulate-finished = finished, of solvable (95 %)
simulate-finished-jobs = finished
simulate-wrong = wrong service opened
simulate-false-dead = false proven dead
simulate-needless = needless stops
simulate-tests-mean = tests, mean
simulate-tests-median = tests, median
simulate-looks-median = looks, median
simulate-against-caught = opened against advice: noticed / all
simulate-caught-by = refused most by (jobs)
simulate-share = share
simulate-rule = rule
simulate-says = what it says
simulate-refusals = steps refused
simulate-reason = reason
simulate-condition = condition left out
simulate-lets-through = lets through
simulate-tolerated = false causes tolerated
simulate-keys = typed at the pad
simulate-pairs-kind = pairs

## Axes

simulate-axis-finished = solvable jobs that finish
simulate-axis-wrong = jobs with a wrong service opened

## Parts

simulate-policies = What came of them
simulate-wrong-by-policy = Wrong service opened, by policy, with 95 % bounds
simulate-finished-by-policy = Finished, by policy, with 95 % bounds
simulate-by-fault = By fault
simulate-by-fault-about = { $shown } of { $of } faults: what went wrong first, then what finished worst. The JSON has all of them.
simulate-finished-by-fault = Finished, by fault, with 95 % bounds
simulate-pairs = Two faults at once
simulate-pairs-about = One false cause is tolerated. Two faults that both falsify a sighting of the premises can agree on the wrong house: a stated limit.
simulate-pairs-others = all others
simulate-pairs-premises = two sightings of the premises false
simulate-tests = Tests
simulate-what-a-test-is = Of finished jobs. A test is a pad searched, a coded run read, a tone compared on a pad, or a meter pulled to tell which it is.
simulate-tests-drawn = Finished jobs by number of tests
simulate-tolerances = How many false causes are tolerated
simulate-tolerances-about = A rule sheet tolerates one or two. None is for comparison alone: no rule sheet may say it.
simulate-tolerating = { $count } tolerated
simulate-trade-off = Wrong service opened against finished, by tolerance, with 95 % bounds
simulate-keyings = What is typed at the pad
simulate-keyings-about = One key a slot and the amps at one change slot, against the amps of every slot.
simulate-keys-one-size = keys, amps at one slot
simulate-keys-every-slot = amps at every slot
simulate-wrong-by-keys = Wrong service opened, by what is typed, with 95 % bounds
simulate-finished-by-keys = Finished, by what is typed, with 95 % bounds
simulate-ablation = Each condition of the rule left out
simulate-ablation-about = The same { $jobs } jobs, judged without one condition. One that lets nothing more through buys nothing in these jobs.
simulate-buys-nothing = nothing: buys nothing here
simulate-wrong-by-condition = Wrong service opened, by condition left out, with 95 % bounds
simulate-caught = Which rule refused
simulate-caught-about = Steps that the crew tried and a rule refused. What was refused was not done.
simulate-stopped = Why solvable jobs stopped
simulate-unsolvable = Why jobs cannot be finished by anybody

## What is kept

simulate-page-written = The report is in { $path }.
simulate-failures-kept = Failed jobs are in { $dir }; judge them by their map sheet, rules and events.
