## Where a tag or a fix points to, other than the pad it was noted at

pointer-tags = The tag can be { $list }.
pointer-tag = { $tag } on { $pads }
pointer-no-tag = No tag on the map sheet reads so, or too little of it could be read.
pointer-pads = The fix is likeliest at { $list }.
pointer-pad = { $pad } ({ $metres } m off, { $percent } %)
pointer-no-pad = No pad on the map sheet is in reach of the fix.
pointer-by-chance = Of fixes taken at { $noted }, { $percent } in 100 come out so far off.
pointer-likelier = { $pad } is likelier than { $noted }, { $odds } to 1; a fix like this takes the one for the other { $mistaken } times in 100.
